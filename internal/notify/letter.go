package notify

import (
	"context"
	"crypto/rand"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// Letter is what a mail about a place says. Link is empty where the secret is no longer
// known: only its hash is kept.
func (s *Notifier) Letter(ctx context.Context, h hike.Hike, p hike.SignUp, link string) message.Place {
	zone := h.Start.Location()
	m := message.Place{
		Ref: p.ID, To: p.Email, Name: p.Name, Hike: h.Title, Day: format.Day(h.Start, zone), Group: s.group(ctx),
		Meet: format.Clock(h.Meet, zone), Link: link, UselessAt: h.Start,
	}
	if leader, ok := h.StaffOf(hike.Leader); ok {
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

func (s *Notifier) TellPlace(ctx context.Context, t hike.Data, p hike.SignUp, secret account.Secret) {
	compose := func(m message.Place) (message.Mail, error) { return message.Waiting(m, "") }
	switch p.State {
	case hike.Confirmed:
		compose = message.Confirmed
	case hike.Asked:
		compose = func(m message.Place) (message.Mail, error) { return message.Asked(m, hike.Held(t.Hike, p)) }
	}
	s.sendPlace(ctx, t, p, s.placeLink(secret), compose)
}

// TellMoved writes to everybody whose place moved, but for the one who acted and sees it.
// Only the hash of a link is kept, so a new one is drawn for the mail. Whom it touches in
// the cars is written to as well.
func (s *Notifier) TellMoved(ctx context.Context, h hike.Hike, moved []hike.SignUp, acted string) {
	defer s.TellCars(ctx, h.ID)
	if len(moved) == 0 {
		return
	}
	t := s.toldOf(ctx, h)
	for _, p := range moved {
		if p.ID == acted || p.State == hike.Withdrawn {
			continue
		}
		secret, hash, err := account.NewLink(rand.Reader)
		if err == nil {
			err = s.Accounts.AddLink(ctx, account.Link{Hash: hash, Purpose: account.Place, Subject: p.ID, Expires: h.Start})
		}
		if err != nil {
			s.Log.Error("draw a link to a place", "err", err)
			continue
		}
		s.sendPlace(ctx, t, p, s.placeLink(secret), func(m message.Place) (message.Mail, error) {
			if p.State == hike.Offered {
				return message.Offered(m, hike.Held(h, p))
			}
			return message.Promoted(m, "")
		})
	}
}

// TellOutcome sends the person to their page, where the outcome of a talk stands.
func (s *Notifier) TellOutcome(ctx context.Context, h hike.Hike, p hike.SignUp) {
	s.sendPlace(ctx, s.toldOf(ctx, h), p, "", func(m message.Place) (message.Mail, error) {
		if p.State == hike.Confirmed {
			return message.Confirmed(m)
		}
		return message.TurnedAway(m, p.Because)
	})
}

// group is in whose name mail goes.
func (s *Notifier) group(ctx context.Context) string {
	if house, err := s.Hikes.House(ctx); err == nil && house.Organisation != "" {
		return house.Organisation
	}
	return "Saltbush"
}
