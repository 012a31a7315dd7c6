package team

import (
	"errors"
	"fmt"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/internal/team"
	"saltbush/web/kit"
	"saltbush/web/team/view"
	"saltbush/web/ui"
)

// staffRequest is a request to a person to staff a hike.
type staffRequest struct {
	hike   hike.Hike
	person string // the id on the roll, or hike.OnCall
	name   string
	part   string
	answer team.Answer // empty if the person is no longer asked
}

// requestIn opens the link in the URL.
func (s *Handlers) requestIn(r *http.Request) (staffRequest, error) {
	link, err := account.OpenLink(r.Context(), s.Accounts, kit.SecretIn(r), account.Asked, s.Now())
	if err != nil {
		return staffRequest{}, err
	}
	h, err := s.Hikes.Hike(r.Context(), link.Hike)
	return requestOf(h, link.Person), err
}

func requestOf(h hike.Hike, person string) staffRequest {
	a := staffRequest{hike: h, person: person}
	if person == hike.OnCall {
		a.name, a.part, a.answer = h.OnCall.Name, hike.OnCall, h.OnCallAnswer()
		return a
	}
	for _, m := range h.Staff {
		if m.Person == person {
			a.name, a.part, a.answer = m.Name, string(m.Role), m.Answer
		}
	}
	return a
}

// ShowAsked is a request to staff a hike, opened by its link.
func (s *Handlers) ShowAsked(w http.ResponseWriter, r *http.Request) error {
	a, err := s.requestIn(r)
	if err != nil {
		return err
	}
	return s.renderAsked(w, r, http.StatusOK, a, ui.FormState{})
}

func (s *Handlers) renderAsked(w http.ResponseWriter, r *http.Request, status int, a staffRequest,
	wrong ui.FormState) error {
	t, err := s.Hikes.Trail(r.Context(), a.hike.Trail)
	if err != nil {
		return err
	}
	h, zone := a.hike, a.hike.Start.Location()
	p := view.AskedPage{Page: s.Page(r, "Will you take this part?",
		""), URL: r.URL.Path, Name: a.name, Part: a.part, Hike: h.Title, Trail: t.Name, Meeting: t.Meeting,
		When: format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone), Answer: ui.StampOf(string(a.answer)),
		Because: view.NewBecause(wrong, a.person)}
	p.Private = true
	p.Open = a.answer != "" && (h.State == hike.Draft || h.State == hike.Posted)
	switch {
	case a.answer == "":
		p.Name, p.Answer, p.Says = "you", ui.StampOf("declined"), "You are not on the staff of this hike any more."
	case a.answer == team.AnswerAccepted:
		p.Says = "You have said yes. Thank you. If you cannot any more, say so here."
	default:
		p.Says = "You are asked. Until you say yes, nobody counts on you."
	}
	return s.Render(w, r, status, view.AskedByLink(p))
}

// AnswerByLink stores an answer from the page of ShowAsked.
func (s *Handlers) AnswerByLink(w http.ResponseWriter, r *http.Request) error {
	a, err := s.requestIn(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	err = s.answer(r, a, f.Text("answer") == "yes", f.Text("because"))
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderAsked(w, r, http.StatusUnprocessableEntity, a, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, r.URL.Path, "Your answer is kept. Thank you.")
}

// answer stores a yes or a no, and notifies the coordinators and the leader of a no.
func (s *Handlers) answer(r *http.Request, a staffRequest, yes bool, because string) error {
	switch {
	case a.person == hike.OnCall && yes:
		return s.Hikes.ChangeHike(r.Context(), a.hike.ID, func(h *hike.Hike) error { return h.AcceptOnCall(s.Now()) })
	case yes:
		return s.Staff.AcceptStaff(r.Context(), a.hike.ID, a.person, s.Now())
	}
	var d team.Decline
	var err error
	if a.person == hike.OnCall {
		d, err = s.Staff.DeclineOnCall(r.Context(), a.hike.ID, because, s.Now())
	} else {
		d, err = s.Staff.DeclineStaff(r.Context(), a.hike.ID, a.person, because, s.Now())
	}
	if err == nil {
		s.notifyDeclined(r, a.hike, d)
	}
	return err
}

// notifyDeclined tells the coordinators and the leader of the hike by mail.
func (s *Handlers) notifyDeclined(r *http.Request, h hike.Hike, d team.Decline) {
	leader, _ := h.StaffOf(team.Leader)
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		s.Log.Error("tell of a decline", "hike", h.ID, "err", err)
		return
	}
	for _, a := range people {
		id := a.ID
		if asks := a.Has(account.Coordinator) || id == leader.Account; !a.Active || !asks || id == d.Account {
			continue
		}
		p := s.notify.StaffLetter(r.Context(), h)
		p.Ref = fmt.Sprintf("%d-%s-%d-%d", h.ID, d.Role, a.ID, s.Now().Unix())
		p.Name, p.To, p.Role = a.Name, a.Email, string(d.Role)
		p.Link = s.BaseURL + paths.Staffing(h.ID)
		m, err := message.Declined(p, d.Name, d.Because)
		s.notify.Send(r.Context(), m, err)
	}
}
