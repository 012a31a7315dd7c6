package notify

import (
	"context"
	"crypto/rand"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// TendPlaces does what time brings about, for every coming hike: offers that nobody took
// lapse, free places are offered on, people are reminded on the eve, and emergency contacts
// are asked whether they can be reached. Several programs may do it at once; each place moves once and each mail has one
// key.
func (s *Notifier) TendPlaces(ctx context.Context) error {
	now := s.Now()
	coming, err := s.Hikes.Hikes(ctx, now, now.Add(hike.PlacesAhead))
	if err != nil {
		return err
	}
	for _, l := range coming {
		if l.Hike.State != hike.Posted {
			continue
		}
		moved, err := s.Hikes.ServePlaces(ctx, l.Hike.ID, now)
		if err != nil {
			return err
		}
		s.TellMoved(ctx, l.Hike, moved, "")
		if err := s.remindEve(ctx, l.Hike, now); err != nil {
			return err
		}
		if l.Hike.AsksContacts(now) {
			if err := s.askContacts(ctx, l.Hike, now); err != nil {
				return err
			}
		}
	}
	return nil
}

// askContacts writes to each contact once who has an address and was not asked.
func (s *Notifier) askContacts(ctx context.Context, h hike.Hike, now time.Time) error {
	places, err := s.Hikes.SignUps(ctx, h.ID)
	if err != nil {
		return err
	}
	for _, p := range places {
		if !p.ContactUnasked() {
			continue
		}
		mine := false
		if _, err := s.Hikes.ChangeSignUp(ctx, p.ID, now, func(p *hike.SignUp) error {
			mine = p.ContactAsked.IsZero() // another program may have been first
			if mine {
				p.ContactAsked = now
			}
			return nil
		}); err != nil {
			return err
		}
		if mine {
			s.askContact(ctx, h, p)
		}
	}
	return nil
}

func (s *Notifier) askContact(ctx context.Context, h hike.Hike, p hike.SignUp) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err == nil {
		err = s.Accounts.AddLink(ctx, account.Link{Hash: hash, Purpose: account.Contact, Subject: p.ID, Expires: h.ContactLinkEnds()})
	}
	if err != nil {
		s.Log.Error("draw a link for a contact", "err", err)
		return
	}
	letter := s.Letter(ctx, h, p, s.BaseURL+"/contact/"+secret.Reveal())
	letter.To, letter.Name = p.ContactEmail, p.EmergencyName
	letter.Ref += "/" + format.Moment(s.Now(), h.Start.Location()) // a contact named later is asked anew
	m, err := message.Reachable(letter, p.Name)
	s.Send(ctx, m, err)
}
