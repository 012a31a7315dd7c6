package web

import (
	"context"
	"crypto/rand"
	"errors"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/web/view"
)

// TendPlaces does what time brings about, for every coming hike: offers that nobody took
// lapse, free places are offered on, people are reminded on the eve, and emergency contacts
// are asked whether they can be reached. Several programs may do it at once; each place moves once and each mail has one
// key.
func (s *Server) TendPlaces(ctx context.Context) error {
	now := s.Now()
	coming, err := s.Hikes.Hikes(ctx, now, now.Add(hike.PlacesAhead))
	if err != nil {
		return err
	}
	for _, l := range coming {
		if l.Hike.State != hike.Posted {
			continue
		}
		if _, err := s.Hikes.ServePlaces(ctx, l.Hike.ID, now, s.changedMails(l.Hike, nil)); err != nil {
			return err
		}
		s.tellCars(ctx, l.Hike.ID)
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
func (s *Server) askContacts(ctx context.Context, h hike.Hike, now time.Time) error {
	places, err := s.Hikes.SignUps(ctx, h.ID)
	if err != nil {
		return err
	}
	for _, p := range places {
		if !p.ContactUnasked() {
			continue
		}
		mine := false
		_, err := s.Hikes.ChangeSignUp(ctx, p.ID, now, func(p *hike.SignUp) error {
			mine = p.ContactAsked.IsZero() // another program may have been first
			if mine {
				p.ContactAsked = now
			}
			return nil
		}, s.changedMails(h, noLetter), func(ctx context.Context, changed []hike.SignUp) ([]message.Mail, error) {
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
func (s *Server) contactMail(ctx context.Context, h hike.Hike, p hike.SignUp) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	link := account.Link{Hash: hash, Purpose: account.Contact, Subject: p.ID, Expires: h.ContactLinkEnds()}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		return nil, err
	}
	letter := s.letter(ctx, h, p, s.BaseURL+"/contact/"+secret.Reveal())
	letter.To, letter.Name = p.ContactEmail, p.EmergencyName
	letter.Ref += "/" + view.Moment(s.Now(), h.Start.Location()) // a contact named later is asked anew
	m, err := message.Reachable(letter, p.Name)
	if err != nil {
		s.Log.Error("compose mail", "place", p.ID, "err", err)
		return nil, nil
	}
	return []message.Mail{m}, nil
}

// noteNoShows notes who had a place and did not come, once the roll is closed. It is told
// to nobody and blames nobody: it says how many to expect.
func (s *Server) noteNoShows(ctx context.Context, rec roll.Record) error {
	for _, p := range rec.State().People {
		if p.Where != roll.WhereAbsent || p.Staff || p.WalkUp {
			continue
		}
		_, err := s.Hikes.ChangeSignUp(ctx, string(p.ID), s.Now(), func(x *hike.SignUp) error { x.NoShow = true; return nil })
		if err != nil && !errors.Is(err, hike.ErrNotFound) {
			return err
		}
	}
	return nil
}
