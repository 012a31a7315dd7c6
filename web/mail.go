package web

import (
	"context"
	"crypto/rand"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// letter is what a mail about a place says. Link is empty where the secret is no longer
// known: only its hash is kept.
func (s *Server) letter(ctx context.Context, h hike.Hike, p hike.SignUp, link string) message.Place {
	zone := h.Start.Location()
	m := message.Place{
		Ref: p.ID, To: p.Email, Name: p.Name, Hike: h.Title, Day: view.Day(h.Start, zone), Group: "Saltbush",
		Meet: view.Clock(h.Meet, zone), Link: link, UselessAt: h.Start,
	}
	if house, err := s.Hikes.House(ctx); err == nil && house.Organisation != "" {
		m.Group = house.Organisation
	}
	if leader, ok := h.StaffOf(hike.Leader); ok {
		m.Leader = leader.Name
	}
	if h.OnCall.Name != "" {
		m.Contact = h.OnCall.Name + " is on call that day: " + h.OnCall.Phone
	}
	return m
}

// send queues a mail. The place is stored by then and its page says the same, so a mail
// that cannot be queued is logged and does not undo anything.
func (s *Server) send(ctx context.Context, m message.Mail, err error) {
	if err == nil {
		err = s.Outbox.Queue(ctx, s.Now(), m)
	}
	if err != nil {
		s.Log.Error("queue mail", "key", m.Key, "err", err)
	}
}

func (s *Server) tellPlace(r *http.Request, h hike.Hike, p hike.SignUp, secret account.Secret) {
	letter := s.letter(r.Context(), h, p, s.BaseURL+placePath(secret))
	var m message.Mail
	var err error
	switch p.State {
	case hike.Confirmed:
		m, err = message.Confirmed(letter)
	case hike.Asked:
		m, err = message.Asked(letter, held(h, p))
	default:
		m, err = message.Waiting(letter, "")
	}
	s.send(r.Context(), m, err)
}

// held is until when a place is kept, in words; "" where none is.
func held(h hike.Hike, p hike.SignUp) string {
	if p.HeldUntil.IsZero() {
		return ""
	}
	return view.Moment(p.HeldUntil, h.Start.Location())
}

// tellMoved writes to everybody whose place moved, but for the one who acted and sees it.
// Only the hash of a link is kept, so a new one is drawn for the mail.
func (s *Server) tellMoved(ctx context.Context, h hike.Hike, moved []hike.SignUp, acted string) {
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
		letter := s.letter(ctx, h, p, s.BaseURL+placePath(secret))
		if p.State == hike.Offered {
			m, err := message.Offered(letter, held(h, p))
			s.send(ctx, m, err)
			continue
		}
		m, err := message.Promoted(letter, "")
		s.send(ctx, m, err)
	}
}

// tellOutcome sends the person to their page, where the outcome of a talk stands.
func (s *Server) tellOutcome(ctx context.Context, h hike.Hike, p hike.SignUp) {
	letter := s.letter(ctx, h, p, "")
	if p.State == hike.Confirmed {
		m, err := message.Confirmed(letter)
		s.send(ctx, m, err)
		return
	}
	m, err := message.TurnedAway(letter, p.Because)
	s.send(ctx, m, err)
}
