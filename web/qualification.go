package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/web/view"
)

func recordPath(id int64) string { return fmt.Sprintf("/staff/people/%d", id) }

func queryEscape(s string) string { return url.QueryEscape(s) }

func (s *Server) showRecords(w http.ResponseWriter, r *http.Request) error {
	people, err := s.Staff.Qualifications(r.Context())
	if err != nil {
		return err
	}
	kinds, err := s.Staff.CertificateKinds(r.Context())
	if err != nil {
		return err
	}
	today := hike.DateOf(s.Now().In(s.zone(r)))
	p := view.RecordsPage{Page: s.page(r, "Records of staff", "Staff"), Tabs: view.StaffTabs("Records", coordinates(r))}
	for _, q := range people {
		p.People = append(p.People, recordLine(q, kinds, today))
		if now, has := q.On(today); len(q.Observed) > 0 && !(has && now.Level.AtLeast(hike.LevelLeader)) || has && !now.Level.AtLeast(hike.LevelLeader) {
			p.Trainees = append(p.Trainees, traineeLine(q, now))
		}
	}
	return s.render(w, r, http.StatusOK, view.Records(p))
}

func recordLine(q hike.Qualification, kinds []hike.CertificateKind, today hike.Date) view.RecordLine {
	now, has := q.On(today)
	line := view.RecordLine{Name: q.Name, URL: recordPath(q.Account), Standing: view.StandingStamp(string(now.Status)), Led: ledWords(q, today), Last: lastLed(q)}
	if has {
		line.Level = fmt.Sprintf("%s, up to %s", now.Level, now.MaxClass)
	}
	for _, k := range kinds {
		if c, holds := q.Certificate(k.Name); holds {
			line.Papers = append(line.Papers, view.GapLine{Says: k.Name, Stamp: paperStamp(c, today)})
		}
	}
	return line
}

func paperStamp(c hike.Certificate, today hike.Date) view.StampText {
	return view.PaperStamp(today.Until(c.Through), !c.Through.IsZero())
}

func ledWords(q hike.Qualification, today hike.Date) string {
	tomorrow := today.Add(1) // a hike that was closed today counts
	return fmt.Sprintf("%d in 12 months, %d in 24", q.Led(tomorrow, 12), q.Led(tomorrow, 24))
}

func lastLed(q hike.Qualification) string {
	if d := q.LastLed(); !d.IsZero() {
		return "last on " + d.Words()
	}
	return "never led a hike that is on record"
}

func lastLedDay(q hike.Qualification) string {
	if d := q.LastLed(); !d.IsZero() {
		return d.Words()
	}
	return "never"
}

func traineeLine(q hike.Qualification, now hike.Standing) view.TraineeLine {
	line := view.TraineeLine{Name: q.Name, URL: recordPath(q.Account), Level: string(now.Level), Observed: view.Count(len(q.Observed), "observed hike", "observed hikes")}
	if line.Level == "" {
		line.Level = "no level yet"
	}
	if len(q.Observed) > 0 {
		o := q.Observed[0]
		line.Last = fmt.Sprintf("%s on %s: %s", o.Day.Words(), o.Trail, o.Result)
	}
	return line
}

// recordIn loads the record that the address names.
func (s *Server) recordIn(r *http.Request) (hike.Qualification, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "account"), 10, 64)
	if err != nil {
		return hike.Qualification{}, fmt.Errorf("record %q: %w", chi.URLParam(r, "account"), hike.ErrNotFound)
	}
	return s.Staff.Qualification(r.Context(), id)
}

func (s *Server) showRecord(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	return s.renderRecord(w, r, http.StatusOK, q, view.Answers{})
}

func (s *Server) renderRecord(w http.ResponseWriter, r *http.Request, status int, q hike.Qualification, a view.Answers) error {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	if err != nil {
		return err
	}
	today := hike.DateOf(s.Now().In(s.zone(r)))
	p := view.RecordPage{Page: s.page(r, q.Name, "Staff"), Tabs: view.StaffTabs("Records", coordinates(r)), Name: q.Name, URL: recordPath(q.Account),
		CanManage: account.May(viewerOf(r), account.ManageRecords, account.Subject{}) == nil}
	fillRecord(&p, q, kinds, today)
	if a.Typed == nil {
		a.Typed = map[string][]string{"from": {today.String()}}
	}
	p.Standing = view.NewStandingFields(a, optionsOf(hike.Levels()), optionsOf(hike.Classes()), optionsOf(hike.Endorsements()), optionsOf(hike.Statuses()))
	p.Certificate = view.NewCertificateFields(a, kindOptions(kinds))
	p.ObservedForm = view.NewObservedFields(a, optionsOf(hike.Skills()), optionsOf(hike.ObservedResults()))
	return s.render(w, r, status, view.Record(p))
}

func optionsOf[T ~string](words []T) []view.Option {
	var options []view.Option
	for _, w := range words {
		options = append(options, view.Option{Value: string(w), Label: string(w)})
	}
	return options
}

func kindOptions(kinds []hike.CertificateKind) []view.Option {
	var options []view.Option
	for _, k := range kinds {
		options = append(options, view.Option{Value: k.Name, Label: k.Name})
	}
	return options
}

func fillRecord(p *view.RecordPage, q hike.Qualification, kinds []hike.CertificateKind, today hike.Date) {
	now, has := q.On(today)
	p.Now = view.StandingStamp(string(now.Status))
	if has {
		p.NowSays = fmt.Sprintf("Today %s, up to %s hikes.", now.Level, now.MaxClass)
	}
	for i := len(q.Standings) - 1; i >= 0; i-- {
		p.Changes = append(p.Changes, changeLine(q.Standings[i]))
	}
	for _, c := range q.Certificates {
		p.Papers = append(p.Papers, view.PaperLine{Kind: c.Kind, Issuer: c.Issuer, Number: c.Number, Through: c.Through.Words(), Evidence: c.Evidence, State: paperStamp(c, today)})
	}
	for _, k := range kinds {
		if !q.Holds(k.Name, today) {
			p.Missing = append(p.Missing, k.Name)
		}
	}
	for _, o := range q.Observed {
		p.Observed = append(p.Observed, view.ObservedLine{Day: o.Day.Words(), Trail: o.Trail, Mentor: o.Mentor, Skills: strings.Join(o.Skills, ", "), Result: o.Result, Note: o.Note})
	}
	tomorrow := today.Add(1)
	p.Led = []view.FigureText{
		{Label: "Led in 12 months", Value: strconv.Itoa(q.Led(tomorrow, 12))}, {Label: "Led in 24 months", Value: strconv.Itoa(q.Led(tomorrow, 24))},
		{Label: "Last led", Value: lastLedDay(q)},
	}
	for _, w := range q.Walked {
		p.Walked = append(p.Walked, view.WalkedLine{Day: hike.DateOf(w.Start).Words(), Title: w.Title, URL: hikePath(w.Hike), Trail: w.Trail, Part: string(w.Role)})
	}
	for _, a := range q.Absences {
		p.Away = append(p.Away, a.Words())
	}
}

func changeLine(c hike.Standing) view.ChangeLine {
	line := view.ChangeLine{From: c.From.Words(), Level: string(c.Level), Class: string(c.MaxClass), Status: view.StandingStamp(string(c.Status)), Reason: c.Reason, By: c.By}
	var for_ []string
	for _, e := range c.Endorsements {
		for_ = append(for_, string(e))
	}
	if len(for_) > 0 {
		line.Endorsed = "endorsed for " + strings.Join(for_, " and ")
	}
	return line
}

// date reads a date; an empty field is no date.
func (f form) date(name string) hike.Date {
	if f.text(name) == "" {
		return hike.Date{}
	}
	d, err := hike.ParseDate(f.text(name))
	if err != nil {
		f.faults.Add(name, "Give a day, such as 2027-03-14.")
	}
	return d
}

// keepRecord stores a part of a record, or shows the form again.
func (s *Server) keepRecord(w http.ResponseWriter, r *http.Request, q hike.Qualification, f form, wrong error, store func() error, said string) error {
	invalid, err := f.invalid(wrong)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderRecord(w, r, http.StatusUnprocessableEntity, q, answers(r, invalid))
	}
	if err := store(); err != nil {
		return err
	}
	return s.seeOther(w, r, recordPath(q.Account), said)
}

func (s *Server) addStanding(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	c := f.standing(nameOf(r), s.Now())
	return s.keepRecord(w, r, q, f, c.Validate(), func() error { return s.Staff.AddStanding(r.Context(), q.Account, c) },
		"The change is written down. Hikes before "+c.From.Words()+" stay as they were.")
}

// standing reads a change of a person's level or status.
func (f form) standing(by string, now time.Time) hike.Standing {
	c := hike.Standing{From: f.date("from"), Level: hike.Level(f.text("level")), MaxClass: track.Class(f.text("max_class")),
		Status: hike.Status(f.text("status")), Reason: f.text("reason"), By: by, Written: now}
	for _, e := range f.r.PostForm["endorsements"] {
		c.Endorsements = append(c.Endorsements, hike.Endorsement(e))
	}
	return c
}

// certificate reads a paper that a person holds.
func (f form) certificate(of int64) hike.Certificate {
	return hike.Certificate{Account: of, Kind: f.text("certificate"), Issuer: f.text("issuer"), Number: f.text("number"), Through: f.date("through"), Evidence: f.text("evidence")}
}

func (s *Server) addCertificate(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	c := f.certificate(q.Account)
	return s.keepRecord(w, r, q, f, c.Validate(), func() error { return s.Staff.AddCertificate(r.Context(), c) }, "The certificate is on record.")
}

func (s *Server) addObserved(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	o := hike.Observed{Account: q.Account, Day: f.date("day"), Trail: f.text("trail"), Mentor: f.text("mentor"), Skills: r.PostForm["skills"], Result: f.text("result"), Note: f.paragraph("note")}
	if hike.DateOf(s.Now().Add(24 * time.Hour)).Before(o.Day) {
		f.faults.Add("day", "This day has not come yet.")
	}
	return s.keepRecord(w, r, q, f, o.Validate(), func() error { return s.Staff.AddObserved(r.Context(), o) }, "The observed hike is noted.")
}
