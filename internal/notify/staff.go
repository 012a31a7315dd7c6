package notify

import (
	"context"
	"crypto/rand"
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
)

// Part is a letter about a part in a hike.
func (s *Notifier) Part(ctx context.Context, h hike.Hike) message.Part {
	zone := h.Start.Location()
	p := message.Part{Hike: h.Title, Day: format.Day(h.Start, zone), Meet: format.Clock(h.Meet, zone), Group: "Saltbush", Until: h.Start}
	if house, err := s.Hikes.House(ctx); err == nil && house.Organisation != "" {
		p.Group = house.Organisation
	}
	if t, err := s.Hikes.Trail(ctx, h.Trail); err == nil {
		p.Trail = t.Name
	}
	return p
}

// TellAsked writes to whoever is asked now and was not before. The asking is stored by
// then, so a mail that cannot be queued is logged and undoes nothing.
func (s *Notifier) TellAsked(ctx context.Context, by string, before hike.Hike, id ref.Hike) {
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil {
		s.Log.Error("tell who is asked", "hike", id, "err", err)
		return
	}
	moved := !before.Meet.Equal(h.Meet) || before.Trail != h.Trail
	for _, m := range h.Staff {
		if was, on := hike.MemberOf(before, m.Account); m.Accepted() || on && was.Role == m.Role && !was.Accepted() && !moved {
			continue
		}
		if a, err := s.Accounts.AccountByID(ctx, m.Account); err == nil {
			s.ask(ctx, by, h, m.Person, m.Name, a.Email, string(m.Role))
		}
	}
	if h.OnCall.Email != "" && h.OnCallAccepted.IsZero() && (moved || before.OnCall != h.OnCall) {
		s.ask(ctx, by, h, hike.OnCall, h.OnCall.Name, h.OnCall.Email, hike.OnCall)
	}
}

// ask sends one asking, with a link that answers it until the hike starts.
func (s *Notifier) ask(ctx context.Context, by string, h hike.Hike, person, name, to, part string) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		s.Log.Error("draw a link", "err", err)
		return
	}
	link := account.Link{Hash: hash, Target: account.AskedTarget(h.ID, person), Expires: h.Start}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		s.Log.Error("add a link", "hike", h.ID, "err", err)
		return
	}
	p := s.Part(ctx, h)
	p.Ref, p.Name, p.To, p.Part, p.By = fmt.Sprintf("%d-%s-%s-%d", h.ID, person, part, s.Now().Unix()), name, to, part, by
	p.Link = s.BaseURL + "/asked/" + secret.Reveal()
	m, err := message.Ask(p)
	s.Send(ctx, m, err)
}
