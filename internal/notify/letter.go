package notify

import (
	"context"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/team"
)

// PlaceLetter is a mail about a place, not yet composed. The zero value is no mail.
type PlaceLetter struct {
	place   signup.SignUp
	link    string
	compose func(message.Place) (message.Mail, error)
}

// Letter returns the facts for a mail about a place. Link is empty where only the hash of
// the person's link is known.
func (n *Notifier) Letter(ctx context.Context, h hike.Hike, p signup.SignUp, link string) message.Place {
	zone := h.Start.Location()
	m := message.Place{
		Ref:       p.ID,
		To:        p.Email,
		Name:      p.Name,
		Hike:      h.Title,
		Day:       format.Day(h.Start, zone),
		Group:     n.group(ctx),
		Meet:      format.Clock(h.Meet, zone),
		Link:      link,
		UselessAt: h.Start,
	}
	if leader, ok := h.StaffOf(team.Leader); ok {
		m.Leader = leader.Name
	}
	if h.OnCall.Name != "" {
		m.Contact = h.OnCall.Name + " is on call that day: " + h.OnCall.Phone
	}
	return m
}

// letterFrom is Letter with what the plan and the trail add.
func (n *Notifier) letterFrom(ctx context.Context, t hike.Data, p signup.SignUp, link string) message.Place {
	m := n.Letter(ctx, t.Hike, p, link)
	m.Finish, m.Where = t.Finish(), t.Where()
	return m
}

// AskedLetter tells a person what came of their request for a place.
func (n *Notifier) AskedLetter(h hike.Hike, p signup.SignUp, secret account.Secret) PlaceLetter {
	compose := func(m message.Place) (message.Mail, error) { return message.Waiting(m, "") }
	switch p.State {
	case signup.Confirmed:
		compose = message.Confirmed
	case signup.Asked:
		compose = func(m message.Place) (message.Mail, error) { return message.Asked(m, hike.Held(h, p)) }
	}
	return PlaceLetter{p, n.placeAddress(secret), compose}
}

// ActedLetter confirms to a person what they did on their own page, where it changed their
// place, so that their calendar changes too. Before is the state that the place had.
func ActedLetter(before signup.State, link string) func(signup.SignUp) PlaceLetter {
	return func(p signup.SignUp) PlaceLetter {
		switch {
		case p.State == before:
			return PlaceLetter{}
		case p.State == signup.Confirmed:
			return PlaceLetter{p, link, message.Confirmed}
		case p.State == signup.Withdrawn:
			return PlaceLetter{p, "", message.Withdrawn}
		}
		return PlaceLetter{}
	}
}

// NoLetter is for a change that the person sees on their page.
func NoLetter(signup.SignUp) PlaceLetter { return PlaceLetter{} }

// OutcomeLetter tells a person what came of their screening call.
func OutcomeLetter(p signup.SignUp) PlaceLetter {
	switch p.State {
	case signup.Confirmed:
		return PlaceLetter{p, "", message.Confirmed}
	case signup.TurnedAway:
		return PlaceLetter{p, "",
			func(m message.Place) (message.Mail, error) { return message.TurnedAway(m, p.Because) }}
	}
	return PlaceLetter{}
}

// movedLetter tells a person that they were offered a place or given one. Only the hash of
// their link is stored, so the mail brings a new one.
func (n *Notifier) movedLetter(ctx context.Context, h hike.Hike, p signup.SignUp) (PlaceLetter, error) {
	link, err := n.newPlaceLink(ctx, h, p)
	if err != nil {
		return PlaceLetter{}, err
	}
	return PlaceLetter{p, link, func(m message.Place) (message.Mail, error) {
		if p.State == signup.Offered {
			return message.Offered(m, hike.Held(h, p))
		}
		return message.Promoted(m, "")
	}}, nil
}

// ChangedMails composes the mails about changed sign-ups, for a store to queue with the
// change. Own is the letter to the person whose sign-up was changed, nil where the change
// was nobody's; everybody else learns that their place moved.
func (n *Notifier) ChangedMails(h hike.Hike, own func(signup.SignUp) PlaceLetter) hike.Mails {
	return func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error) {
		var letters []PlaceLetter
		for i, p := range changed {
			l, err := PlaceLetter{}, error(nil)
			switch {
			case i == 0 && own != nil:
				l = own(p)
			case p.State != signup.Withdrawn:
				l, err = n.movedLetter(ctx, h, p)
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
		t, err := n.load(ctx, h)
		if err != nil {
			return nil, err
		}
		return n.PlaceMails(ctx, t, letters...)
	}
}
