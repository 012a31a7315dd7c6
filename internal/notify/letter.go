package notify

import (
	"context"
	"crypto/rand"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/team"
)

// Letter is what a mail about a place says. Link is empty where the secret is no longer
// known: only its hash is kept.
func (s *Notifier) Letter(ctx context.Context, h hike.Hike, p signup.SignUp, link string) message.Place {
	zone := h.Start.Location()
	m := message.Place{
		Ref: p.ID, To: p.Email, Name: p.Name, Hike: h.Title, Day: format.Day(h.Start, zone), Group: s.group(ctx),
		Meet: format.Clock(h.Meet, zone), Link: link, UselessAt: h.Start,
	}
	if leader, ok := h.StaffOf(team.Leader); ok {
		m.Leader = leader.Name
	}
	if h.OnCall.Name != "" {
		m.Contact = h.OnCall.Name + " is on call that day: " + h.OnCall.Phone
	}
	return m
}

// Send queues a mail. The place is stored by then and its page says the same, so a mail
// that cannot be queued is logged and does not undo anything.
func (s *Notifier) Send(ctx context.Context, m message.Mail, err error) {
	if err == nil {
		err = s.Outbox.Queue(ctx, s.Now(), m)
	}
	if err != nil {
		s.Log.Error("queue mail", "key", m.Key, "err", err)
	}
}

// AskedLetter says what became of a request for a place.
func (s *Notifier) AskedLetter(h hike.Hike, p signup.SignUp, secret account.Secret) PlaceLetter {
	compose := func(m message.Place) (message.Mail, error) { return message.Waiting(m, "") }
	switch p.State {
	case signup.Confirmed:
		compose = message.Confirmed
	case signup.Asked:
		compose = func(m message.Place) (message.Mail, error) { return message.Asked(m, hike.Held(h, p)) }
	}
	return PlaceLetter{p, s.placeLink(secret), compose}
}

// ChangedMails are the mails of a change of places. Own is the letter to the person whose
// sign-up was changed, nil where nobody's was; everybody else is hike.Data that their place moved.
func (s *Notifier) ChangedMails(h hike.Hike, own func(signup.SignUp) PlaceLetter) hike.Mails {
	return func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error) {
		var letters []PlaceLetter
		for i, p := range changed {
			l, err := PlaceLetter{}, error(nil)
			switch {
			case i == 0 && own != nil:
				l = own(p)
			case p.State != signup.Withdrawn:
				l, err = s.movedLetter(ctx, h, p)
			}
			if err != nil {
				return nil, err
			}
			if l.compose != nil {
				letters = append(letters, l)
			}
		}
		if len(letters) == 0 {
			return nil, nil
		}
		t, err := s.load(ctx, h)
		if err != nil {
			return nil, err
		}
		return s.PlaceMails(ctx, t, letters...)
	}
}

// movedLetter tells a person that their place moved. Only the hash of a link is kept, so a
// new one is drawn for the mail.
func (s *Notifier) movedLetter(ctx context.Context, h hike.Hike, p signup.SignUp) (PlaceLetter, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return PlaceLetter{}, err
	}
	link := account.Link{Hash: hash, Target: account.PlaceTarget(p.ID), Expires: h.Start}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		return PlaceLetter{}, err
	}
	return PlaceLetter{p, s.placeLink(secret), func(m message.Place) (message.Mail, error) {
		if p.State == signup.Offered {
			return message.Offered(m, hike.Held(h, p))
		}
		return message.Promoted(m, "")
	}}, nil
}

// NoLetter is for a change that the person sees on their page.
func NoLetter(signup.SignUp) PlaceLetter { return PlaceLetter{} }

// OutcomeLetter sends the person to their page, where the outcome of a talk stands.
func OutcomeLetter(p signup.SignUp) PlaceLetter {
	switch p.State {
	case signup.Confirmed:
		return PlaceLetter{p, "", message.Confirmed}
	case signup.TurnedAway:
		return PlaceLetter{p, "", func(m message.Place) (message.Mail, error) { return message.TurnedAway(m, p.Because) }}
	}
	return PlaceLetter{}
}

// group is in whose name mail goes.
func (s *Notifier) group(ctx context.Context) string {
	if house, err := s.Hikes.House(ctx); err == nil && house.Organisation != "" {
		return house.Organisation
	}
	return "Saltbush"
}
