package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/web/view"
)

func (s *teamHandlers) showMine(w http.ResponseWriter, r *http.Request) error {
	return s.renderMine(w, r, http.StatusOK, view.Answers{})
}

// House judgement: how far ahead one is shown what one is asked; past the programme's own
// horizon.
const mineAhead = 120

func (s *teamHandlers) renderMine(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	me, _ := viewerOf(r).Account()
	b, err := s.book(r.Context(), s.Now(), mineAhead)
	if err != nil {
		return err
	}
	p := view.MinePage{Page: s.page(r, "My part", "My part"), Fields: view.NewAwayFields(a)}
	clashes := hike.Clashes(b.Duties(), b.Roads.Between)
	for _, l := range b.Listed {
		m, on := memberOf(l.Hike, int64(me.ID))
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
	q, err := s.Staff.Qualification(r.Context(), int64(me.ID))
	if err != nil {
		return err
	}
	for _, x := range q.Absences {
		p.Away = append(p.Away, view.AwayLine{Words: x.Words(), Note: x.Note, RemoveURL: fmt.Sprintf("/mine/away/%d/remove", x.ID)})
	}
	p.Record = ownRecord(q, hike.DateOf(s.Now().In(s.zone(r))))
	return s.render(w, r, status, view.Mine(p))
}

func partLine(r *http.Request, l hike.Listed, m hike.Staff, clashes []hike.Clash, a view.Answers) view.PartLine {
	zone := l.Hike.Start.Location()
	line := view.PartLine{Day: format.ShortDay(l.Hike.Meet, zone), Clock: format.Clock(l.Hike.Meet, zone), Title: l.Hike.Title, URL: hikePath(l.Hike.ID), Trail: l.Trail.Name,
		Part: string(m.Role), Hike: strconv.FormatInt(int64(l.Hike.ID), 10), Person: m.Person}
	if r.PostFormValue("person") != m.Person {
		a = view.Answers{}
	}
	line.Because = view.NewBecause(a, m.Person)
	for _, c := range clashes {
		if c.Then.Account == m.Account && (c.First.Hike == l.Hike.ID || c.Then.Hike == l.Hike.ID) {
			line.Clash = append(line.Clash, c.Why)
		}
	}
	return line
}

// ownRecord says in sentences what is on record about the reader.
func ownRecord(q hike.Qualification, today hike.Date) []string {
	now, has := q.On(today)
	list := []string{"No level is on record for you. A coordinator writes it down."}
	if has {
		list = []string{fmt.Sprintf("You are %s, %s, up to %s hikes.", now.Level, now.Status, now.MaxClass)}
	}
	for _, c := range q.Certificates {
		words := c.Kind + " does not end."
		if !c.Through.IsZero() {
			words = fmt.Sprintf("%s is valid through %s: %s.", c.Kind, c.Through.Words(), paperStamp(c, today).Word)
		}
		list = append(list, format.SentenceCase(words))
	}
	return append(list, "You led "+ledWords(q, today)+"; "+lastLed(q)+".")
}

func (s *teamHandlers) answerMine(w http.ResponseWriter, r *http.Request) error {
	me, _ := viewerOf(r).Account()
	f := newForm(r)
	id, _ := strconv.ParseInt(f.text("hike"), 10, 64)
	h, err := s.Hikes.Hike(r.Context(), hike.HikeID(id))
	if err != nil {
		return err
	}
	m, on := memberOf(h, int64(me.ID))
	if !on || m.Person != f.text("person") {
		return hike.Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")
	}
	yes := f.text("answer") == "yes"
	err = s.answer(r, askingOf(h, m.Person), yes, f.text("because"))
	var invalid hike.Invalid
	if errors.As(err, &invalid) {
		return s.renderMine(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	if err != nil {
		return err
	}
	if yes {
		return s.seeOther(w, r, "/mine", "You have said yes to "+h.Title+".")
	}
	return s.seeOther(w, r, "/mine", "You are off "+h.Title+". The coordinators are told.")
}

func (s *teamHandlers) addAway(w http.ResponseWriter, r *http.Request) error {
	me, _ := viewerOf(r).Account()
	f := newForm(r)
	a := hike.Absence{Account: int64(me.ID), From: f.date("from"), To: f.date("to"), Note: f.text("note")}
	for _, d := range r.PostForm["weekdays"] {
		n, err := strconv.Atoi(d)
		if err != nil || n < 0 || n > 6 {
			f.faults.Add("weekdays", "Choose from this list.")
			continue
		}
		a.Weekdays = append(a.Weekdays, time.Weekday(n))
	}
	invalid, err := f.invalid(a.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderMine(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	if err := s.Staff.AddAbsence(r.Context(), a); err != nil {
		return err
	}
	return s.seeOther(w, r, "/mine", "Kept: you cannot "+a.Words()+".")
}

func (s *teamHandlers) removeAway(w http.ResponseWriter, r *http.Request) error {
	me, _ := viewerOf(r).Account()
	id, err := strconv.ParseInt(chi.URLParam(r, "absence"), 10, 64)
	if err != nil {
		return fmt.Errorf("absence %q: %w", chi.URLParam(r, "absence"), hike.ErrNotFound)
	}
	if err := s.Staff.RemoveAbsence(r.Context(), int64(me.ID), id); err != nil {
		return err
	}
	return s.seeOther(w, r, "/mine", "Taken back: you can on these dates.")
}

// home is where somebody begins after signing in: the desk is for those who lead.
func home(a account.Account) string {
	if a.Has(account.Leader) || a.Has(account.Coordinator) {
		return "/desk"
	}
	if a.Has(account.OnCall) || a.Has(account.Safety) {
		return "/board"
	}
	return "/mine"
}

// staffOnDesk says what is open about the viewer as staff, and for coordinators about
// everybody.
func (s *hikesHandlers) staffOnDesk(r *http.Request, now time.Time) ([]view.NoteText, error) {
	me, _ := viewerOf(r).Account()
	b, err := s.book(r.Context(), now, hike.GapsAhead)
	if err != nil {
		return nil, err
	}
	today := hike.DateOf(now.In(s.zone(r)))
	var mine, papers, all []string
	for _, l := range b.Listed {
		if m, on := memberOf(l.Hike, int64(me.ID)); on && !m.Accepted() && l.Hike.Start.After(now) && (l.Hike.State == hike.Draft || l.Hike.State == hike.Posted) {
			mine = append(mine, fmt.Sprintf("%s, %s, as %s.", l.Hike.Title, format.ShortDay(l.Hike.Start, l.Hike.Start.Location()), m.Role))
		}
	}
	for _, x := range b.Reminders(now, today) {
		if x.Account == int64(me.ID) {
			papers = append(papers, x.Says())
		} else if coordinates(r) {
			all = append(all, x.Says())
		}
	}
	var notes []view.NoteText
	for _, n := range []view.NoteText{
		{Kind: view.NoteCaution, Title: "You are asked, and have not answered: see My part", Points: mine},
		{Kind: view.NoteCaution, Title: "Your certificates", Points: papers},
		{Title: "Certificates of others: see Staff", Points: all},
	} {
		if len(n.Points) > 0 {
			notes = append(notes, n)
		}
	}
	return notes, nil
}
