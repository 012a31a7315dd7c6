package web

import (
	"context"
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
func (s *Server) send(r *http.Request, m message.Mail, err error) {
	if err == nil {
		err = s.Outbox.Queue(r.Context(), s.Now(), m)
	}
	if err != nil {
		s.Log.Error("queue mail", "key", m.Key, "err", err)
	}
}

func (s *Server) tellPlace(r *http.Request, h hike.Hike, p hike.SignUp, secret account.Secret) {
	letter := s.letter(r.Context(), h, p, s.BaseURL+placePath(secret))
	if p.State == hike.Confirmed {
		m, err := message.Confirmed(letter)
		s.send(r, m, err)
		return
	}
	m, err := message.Waiting(letter, "")
	s.send(r, m, err)
}

func (s *Server) tellPromoted(r *http.Request, h hike.Hike, promoted []hike.SignUp) {
	for _, p := range promoted {
		m, err := message.Promoted(s.letter(r.Context(), h, p, ""), "")
		s.send(r, m, err)
	}
}
