package notify

import (
	"context"
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
)

// StaffLetter returns the facts for a mail about a role on a hike.
func (n *Notifier) StaffLetter(ctx context.Context, h hike.Hike) message.StaffLetter {
	zone := h.Start.Location()
	p := message.StaffLetter{
		Hike:  h.Title,
		Day:   format.Day(h.Start, zone),
		Meet:  format.Clock(h.Meet, zone),
		Group: n.group(ctx),
		Until: h.Start,
	}
	if t, err := n.store.Trail(ctx, h.Trail); err == nil {
		p.Trail = t.Name
	}
	return p
}

// AskStaff writes to everybody who has to answer whether they take a role on a hike: those
// who were not asked before, and all who have not accepted where the day or the trail has
// changed. The request is stored by then, so errors are logged and undo nothing.
func (n *Notifier) AskStaff(ctx context.Context, by string, before hike.Hike, id ref.Hike) {
	h, err := n.store.Hike(ctx, id)
	if err != nil {
		n.log.Error("tell who is asked", "hike", id, "err", err)
		return
	}
	moved := !before.Meet.Equal(h.Meet) || before.Trail != h.Trail
	for _, m := range h.Staff {
		was, on := hike.MemberOf(before, m.Account)
		asked := on && was.Role == m.Role && !was.Accepted() && !moved
		if m.Accepted() || asked {
			continue
		}
		if a, err := n.accounts.AccountByID(ctx, m.Account); err == nil {
			n.ask(ctx, h, request{by: by, person: m.Person, name: m.Name, to: a.Email, role: string(m.Role)})
		}
	}
	if c := h.OnCall; c.Email != "" && h.OnCallAccepted.IsZero() && (moved || before.OnCall != c) {
		n.ask(ctx, h, request{by: by, person: hike.OnCall, name: c.Name, to: c.Email, role: hike.OnCall})
	}
}

// request asks one person to take a role.
type request struct {
	by       string // who asks
	person   string // their ID on the roll, or hike.OnCall
	name, to string // theirs, and their mail address
	role     string
}

// ask mails one request, with a link that answers it until the hike starts.
func (n *Notifier) ask(ctx context.Context, h hike.Hike, r request) {
	secret, err := n.newLink(ctx, account.AskedTarget(h.ID, r.person), h.Start)
	if err != nil {
		n.log.Error("add a link", "hike", h.ID, "err", err)
		return
	}
	p := n.StaffLetter(ctx, h)
	p.Ref = fmt.Sprintf("%d-%s-%s-%d", h.ID, r.person, r.role, n.now().Unix())
	p.Name, p.To, p.Role, p.By = r.name, r.to, r.role, r.by
	p.Link = n.baseURL + "/asked/" + secret.Reveal()
	m, err := message.Ask(p)
	n.Send(ctx, m, err)
}
