package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// onCall names the asking of on-call where others are named by their person on the roll.
const onCall = string(hike.OnCallPart)

// part is a letter about a part in a hike.
func (s *Notifier) part(ctx context.Context, h hike.Hike) message.Part {
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

// tellAsked writes to whoever is asked now and was not before. The asking is stored by
// then, so a mail that cannot be queued is logged and undoes nothing.
func (s *Notifier) tellAsked(ctx context.Context, by string, before hike.Hike, id hike.HikeID) {
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil {
		s.Log.Error("tell who is asked", "hike", id, "err", err)
		return
	}
	moved := !before.Meet.Equal(h.Meet) || before.Trail != h.Trail
	for _, m := range h.Staff {
		if was, on := memberOf(before, m.Account); m.Accepted() || on && was.Role == m.Role && !was.Accepted() && !moved {
			continue
		}
		if a, err := s.Accounts.AccountByID(ctx, account.ID(m.Account)); err == nil {
			s.ask(ctx, by, h, m.Person, m.Name, a.Email, string(m.Role))
		}
	}
	if h.OnCall.Email != "" && h.OnCallAccepted.IsZero() && (moved || before.OnCall != h.OnCall) {
		s.ask(ctx, by, h, onCall, h.OnCall.Name, h.OnCall.Email, onCall)
	}
}

func memberOf(h hike.Hike, account int64) (hike.Staff, bool) {
	for _, m := range h.Staff {
		if m.Account == account {
			return m, true
		}
	}
	return hike.Staff{}, false
}

// ask sends one asking, with a link that answers it until the hike starts.
func (s *Notifier) ask(ctx context.Context, by string, h hike.Hike, person, name, to, part string) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		s.Log.Error("draw a link", "err", err)
		return
	}
	link := account.Link{Hash: hash, Purpose: account.Asked, Subject: fmt.Sprintf("%d %s", h.ID, person), Expires: h.Start}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		s.Log.Error("add a link", "hike", h.ID, "err", err)
		return
	}
	p := s.part(ctx, h)
	p.Ref, p.Name, p.To, p.Part, p.By = fmt.Sprintf("%d-%s-%s-%d", h.ID, person, part, s.Now().Unix()), name, to, part, by
	p.Link = s.BaseURL + "/asked/" + secret.Reveal()
	m, err := message.Ask(p)
	s.send(ctx, m, err)
}

// asking is what a private link asks.
type asking struct {
	hike   hike.Hike
	person string // on the roll, or on-call
	name   string
	part   string
	answer hike.Answer // empty where the person is no longer asked
}

// askingIn opens the link of the address.
func (s *teamHandlers) askingIn(r *http.Request) (asking, error) {
	secret, err := account.ParseSecret(chi.URLParam(r, "secret"))
	if err != nil {
		return asking{}, err
	}
	link, err := s.Accounts.LinkByHash(r.Context(), secret.Hash())
	if err != nil {
		return asking{}, err
	}
	if err := link.Open(secret, account.Asked, s.Now()); err != nil {
		return asking{}, err
	}
	number, person, _ := strings.Cut(link.Subject, " ")
	id, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return asking{}, account.ErrLinkUnknown
	}
	h, err := s.Hikes.Hike(r.Context(), hike.HikeID(id))
	return askingOf(h, person), err
}

func askingOf(h hike.Hike, person string) asking {
	a := asking{hike: h, person: person}
	if person == onCall {
		a.name, a.part, a.answer = h.OnCall.Name, onCall, h.OnCallAnswer()
		return a
	}
	for _, m := range h.Staff {
		if m.Person == person {
			a.name, a.part, a.answer = m.Name, string(m.Role), m.Answer
		}
	}
	return a
}

func (s *teamHandlers) showAsked(w http.ResponseWriter, r *http.Request) error {
	a, err := s.askingIn(r)
	if err != nil {
		return err
	}
	return s.renderAsked(w, r, http.StatusOK, a, view.Answers{})
}

func (s *teamHandlers) renderAsked(w http.ResponseWriter, r *http.Request, status int, a asking, wrong view.Answers) error {
	t, err := s.Hikes.Trail(r.Context(), a.hike.Trail)
	if err != nil {
		return err
	}
	h, zone := a.hike, a.hike.Start.Location()
	p := view.AskedPage{Page: s.page(r, "Will you take this part?", ""), URL: r.URL.Path, Name: a.name, Part: a.part, Hike: h.Title, Trail: t.Name, Meeting: t.Meeting,
		When: format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone), Answer: view.StampOf(string(a.answer)), Because: view.NewBecause(wrong, a.person)}
	p.Private = true
	p.Open = a.answer != "" && (h.State == hike.Draft || h.State == hike.Posted)
	switch {
	case a.answer == "":
		p.Name, p.Answer, p.Says = "you", view.StampOf("declined"), "You are not on the staff of this hike any more."
	case a.answer == hike.AnswerAccepted:
		p.Says = "You have said yes. Thank you. If you cannot any more, say so here."
	default:
		p.Says = "You are asked. Until you say yes, nobody counts on you."
	}
	return s.render(w, r, status, view.AskedByLink(p))
}

func (s *teamHandlers) answerByLink(w http.ResponseWriter, r *http.Request) error {
	a, err := s.askingIn(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	err = s.answer(r, a, f.text("answer") == "yes", f.text("because"))
	var invalid hike.Invalid
	if errors.As(err, &invalid) {
		return s.renderAsked(w, r, http.StatusUnprocessableEntity, a, answers(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.seeOther(w, r, r.URL.Path, "Your answer is kept. Thank you.")
}

// answer keeps a yes or a no, and tells of a no.
func (s *teamHandlers) answer(r *http.Request, a asking, yes bool, because string) error {
	switch {
	case a.person == onCall && yes:
		return s.Hikes.ChangeHike(r.Context(), a.hike.ID, func(h *hike.Hike) error { return h.AcceptOnCall(s.Now()) })
	case yes:
		return s.Staff.AcceptStaff(r.Context(), a.hike.ID, a.person, s.Now())
	}
	var d hike.Decline
	var err error
	if a.person == onCall {
		d, err = s.Staff.DeclineOnCall(r.Context(), a.hike.ID, because, s.Now())
	} else {
		d, err = s.Staff.DeclineStaff(r.Context(), a.hike.ID, a.person, because, s.Now())
	}
	if err == nil {
		s.tellDeclined(r, a.hike, d)
	}
	return err
}

// tellDeclined writes to those who ask people: the coordinators, and the leader of the hike.
func (s *teamHandlers) tellDeclined(r *http.Request, h hike.Hike, d hike.Decline) {
	leader, _ := h.StaffOf(hike.Leader)
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		s.Log.Error("tell of a decline", "hike", h.ID, "err", err)
		return
	}
	for _, a := range people {
		id := int64(a.ID)
		if asks := a.Has(account.Coordinator) || id == leader.Account; !a.Active || !asks || id == d.Account {
			continue
		}
		p := s.notify.part(r.Context(), h)
		p.Ref, p.Name, p.To, p.Part = fmt.Sprintf("%d-%s-%d-%d", h.ID, d.Role, a.ID, s.Now().Unix()), a.Name, a.Email, string(d.Role)
		p.Link = s.BaseURL + staffingPath(h.ID)
		m, err := message.Declined(p, d.Name, d.Because)
		s.notify.send(r.Context(), m, err)
	}
}
