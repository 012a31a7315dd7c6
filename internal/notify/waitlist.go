package notify

import (
	"context"
	"crypto/rand"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
)

// ProcessWaitlists does what time brings about, for every coming hike: offers that nobody took
// lapse, free places are offered on, people are reminded on the eve, and emergency contacts
// are asked whether they can be reached. Several programs may do it at once; each place moves once and each mail has one
// key.
func (s *Notifier) ProcessWaitlists(ctx context.Context) error {
	now := s.Now()
	coming, err := s.Hikes.Hikes(ctx, now, now.Add(hike.PlacesAhead))
	if err != nil {
		return err
	}
	for _, l := range coming {
		if l.Hike.State != hike.Posted {
			continue
		}
		if _, err := s.Hikes.ServePlaces(ctx, l.Hike.ID, now, s.ChangedMails(l.Hike, nil)); err != nil {
			return err
		}
		s.TellCars(ctx, l.Hike.ID)
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
		_, err := s.Hikes.ChangeSignUp(ctx, p.ID, now, func(p *signup.SignUp) error {
			mine = p.ContactAsked.IsZero() // another program may have been first
			if mine {
				p.ContactAsked = now
			}
			return nil
		}, s.ChangedMails(h, NoLetter), func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error) {
			if !mine {
				return nil, nil
			}
			return s.contactMail(ctx, h, changed[0])
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// contactMail asks an emergency contact whether they can be reached.
func (s *Notifier) contactMail(ctx context.Context, h hike.Hike, p signup.SignUp) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	link := account.Link{Hash: hash, Target: account.ContactTarget(p.ID), Expires: h.ContactLinkEnds()}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		return nil, err
	}
	letter := s.Letter(ctx, h, p, s.BaseURL+"/contact/"+secret.Reveal())
	letter.To, letter.Name = p.ContactEmail, p.EmergencyName
	letter.Ref += "/" + format.Moment(s.Now(), h.Start.Location()) // a contact named later is asked anew
	m, err := message.Reachable(letter, p.Name)
	if err != nil {
		s.Log.Error("compose mail", "place", p.ID, "err", err)
		return nil, nil
	}
	return []message.Mail{m}, nil
}
