package team

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/team/view"
	"saltbush/web/ui"
)

// ShowMine is the viewer's own page of requests and absences.
func (s *Handlers) ShowMine(w http.ResponseWriter, r *http.Request) error {
	return s.renderMine(w, r, http.StatusOK, ui.FormState{})
}

// mineAhead is how many days ahead requests are shown.
// Our judgment: farther than anybody plans.
const mineAhead = 120

func (s *Handlers) renderMine(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	me, _ := kit.ViewerOf(r).Account()
	b, err := s.Book(r.Context(), s.Now(), mineAhead)
	if err != nil {
		return err
	}
	p := view.MinePage{Page: s.Page(r, "My part", "My part"), Fields: view.NewAwayFields(a)}
	clashes := staffing.Clashes(b.Duties(), b.Roads.Between)
	for _, l := range b.Listed {
		m, on := hike.MemberOf(l.Hike, me.ID)
		if !on || l.Hike.Start.Before(s.Now()) || l.Hike.State != hike.Draft && l.Hike.State != hike.Posted {
			continue
		}
		line := partLine(r, l, m, clashes, a)
		if m.Accepted() {
			p.Yes = append(p.Yes, line)
		} else {
			p.Asked = append(p.Asked, line)
		}
	}
	q, err := s.Staff.Qualification(r.Context(), me.ID)
	if err != nil {
		return err
	}
	for _, x := range q.Absences {
		p.Away = append(p.Away,
			view.AwayLine{Words: x.Words(), Note: x.Note, RemoveURL: fmt.Sprintf("/mine/away/%d/remove", x.ID)})
	}
	p.Record = ownRecord(q, unit.DateOf(s.Now().In(s.Zone(r))))
	return s.Render(w, r, status, view.Mine(p))
}

func partLine(r *http.Request, l hike.Listed, m team.Staff, clashes []staffing.Clash, a ui.FormState) view.PartLine {
	zone := l.Hike.Start.Location()
	line := view.PartLine{Day: format.ShortDay(l.Hike.Meet, zone), Clock: format.Clock(l.Hike.Meet, zone),
		Title: l.Hike.Title, URL: paths.Hike(l.Hike.ID), Trail: l.Trail.Name,
		Part: string(m.Role), Hike: strconv.FormatInt(int64(l.Hike.ID), 10), Person: m.Person}
	if r.PostFormValue("person") != m.Person {
		a = ui.FormState{}
	}
	line.Because = view.NewBecause(a, m.Person)
	for _, c := range clashes {
		if c.Then.Account == m.Account && (c.First.Hike == l.Hike.ID || c.Then.Hike == l.Hike.ID) {
			line.Clash = append(line.Clash, c.Why)
		}
	}
	return line
}

// ownRecord describes the viewer's own record in sentences.
func ownRecord(q team.Qualification, today unit.Date) []string {
	now, has := q.On(today)
	list := []string{"No level is on record for you. A coordinator writes it down."}
	if has {
		list = []string{fmt.Sprintf("You are %s, %s, up to %s hikes.", now.Level, now.Status, now.MaxClass)}
	}
	for _, c := range q.Certificates {
		words := c.Kind + " does not end."
		if !c.Through.IsZero() {
			words = fmt.Sprintf("%s is valid through %s: %s.",
				c.Kind, c.Through.Words(), certificateStamp(c, today).Word)
		}
		list = append(list, format.SentenceCase(words))
	}
	return append(list, "You led "+ledWords(q, today)+"; "+lastLed(q)+".")
}

// AnswerMine stores an answer from the page of ShowMine.
func (s *Handlers) AnswerMine(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	id, _ := strconv.ParseInt(f.Text("hike"), 10, 64)
	h, err := s.Hikes.Hike(r.Context(), ref.Hike(id))
	if err != nil {
		return err
	}
	m, on := hike.MemberOf(h, me.ID)
	if !on || m.Person != f.Text("person") {
		return fault.Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")
	}
	yes := f.Text("answer") == "yes"
	err = s.answer(r, requestOf(h, m.Person), yes, f.Text("because"))
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderMine(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	if yes {
		return s.SeeOther(w, r, "/mine", "You have said yes to "+h.Title+".")
	}
	return s.SeeOther(w, r, "/mine", "You are off "+h.Title+". The coordinators are told.")
}

// AddAway adds an absence of the viewer.
func (s *Handlers) AddAway(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	a := team.Absence{Account: me.ID, From: f.Date("from", "Give a day, such as 2027-03-14."),
		To: f.Date("to", "Give a day, such as 2027-03-14."), Note: f.Text("note")}
	for _, d := range r.PostForm["weekdays"] {
		n, err := strconv.Atoi(d)
		if err != nil || n < 0 || n > 6 {
			f.Faults.Add("weekdays", "Choose from this list.")
			continue
		}
		a.Weekdays = append(a.Weekdays, time.Weekday(n))
	}
	invalid, err := f.Invalid(a.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderMine(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err := s.Staff.AddAbsence(r.Context(), a); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/mine", "Kept: you cannot "+a.Words()+".")
}

// RemoveAway deletes an absence of the viewer.
func (s *Handlers) RemoveAway(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	id, err := strconv.ParseInt(chi.URLParam(r, "absence"), 10, 64)
	if err != nil {
		return fmt.Errorf("absence %q: %w", chi.URLParam(r, "absence"), fault.ErrNotFound)
	}
	if err := s.Staff.RemoveAbsence(r.Context(), me.ID, id); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/mine", "Taken back: you can on these dates.")
}
