package team

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/team/view"
	"saltbush/web/ui"
)

func recordPath(id ref.Account) string { return fmt.Sprintf("/staff/people/%d", id) }

// ShowRecords lists the records of staff.
func (s *Handlers) ShowRecords(w http.ResponseWriter, r *http.Request) error {
	people, err := s.Staff.Qualifications(r.Context())
	if err != nil {
		return err
	}
	kinds, err := s.Staff.CertificateKinds(r.Context())
	if err != nil {
		return err
	}
	today := unit.DateOf(s.Now().In(s.Zone(r)))
	p := view.RecordsPage{Page: s.Page(r, "Records of staff", "Staff"),
		Tabs: view.StaffTabs("Records", kit.Coordinates(r))}
	for _, q := range people {
		p.People = append(p.People, recordLine(q, kinds, today))
		if now, has := q.On(today); len(q.Observed) > 0 && !(has && now.Level.AtLeast(team.LevelLeader)) || has &&
			!now.Level.AtLeast(team.LevelLeader) {
			p.Trainees = append(p.Trainees, traineeLine(q, now))
		}
	}
	return s.Render(w, r, http.StatusOK, view.Records(p))
}

func recordLine(q team.Qualification, kinds []team.CertificateKind, today unit.Date) view.RecordLine {
	now, has := q.On(today)
	line := view.RecordLine{Name: q.Name, URL: recordPath(q.Account), Standing: view.StatusStamp(string(now.Status)),
		Led: ledWords(q, today), Last: lastLed(q)}
	if has {
		line.Level = fmt.Sprintf("%s, up to %s", now.Level, now.MaxClass)
	}
	for _, k := range kinds {
		if c, holds := q.Certificate(k.Name); holds {
			line.Papers = append(line.Papers, view.GapLine{Says: k.Name, Stamp: certificateStamp(c, today)})
		}
	}
	return line
}

func certificateStamp(c team.Certificate, today unit.Date) ui.StampText {
	return view.CertificateStamp(today.Until(c.Through), !c.Through.IsZero())
}

func ledWords(q team.Qualification, today unit.Date) string {
	tomorrow := today.Add(1) // a hike that is closed today counts
	return fmt.Sprintf("%d in 12 months, %d in 24", q.Led(tomorrow, 12), q.Led(tomorrow, 24))
}

func lastLed(q team.Qualification) string {
	if d := q.LastLed(); !d.IsZero() {
		return "last on " + d.Words()
	}
	return "never led a hike that is on record"
}

func lastLedDay(q team.Qualification) string {
	if d := q.LastLed(); !d.IsZero() {
		return d.Words()
	}
	return "never"
}

func traineeLine(q team.Qualification, now team.Approval) view.TraineeLine {
	line := view.TraineeLine{Name: q.Name, URL: recordPath(q.Account), Level: string(now.Level),
		Observed: format.Count(len(q.Observed), "observed hike", "observed hikes")}
	if line.Level == "" {
		line.Level = "no level yet"
	}
	if len(q.Observed) > 0 {
		o := q.Observed[0]
		line.Last = fmt.Sprintf("%s on %s: %s", o.Day.Words(), o.Trail, o.Result)
	}
	return line
}

// recordIn loads the record in the URL.
func (s *Handlers) recordIn(r *http.Request) (team.Qualification, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "account"), 10, 64)
	if err != nil {
		return team.Qualification{}, fmt.Errorf("record %q: %w", chi.URLParam(r, "account"), fault.ErrNotFound)
	}
	return s.Staff.Qualification(r.Context(), ref.Account(id))
}

// ShowRecord is one person's record.
func (s *Handlers) ShowRecord(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	return s.renderRecord(w, r, http.StatusOK, q, ui.FormState{})
}

func (s *Handlers) renderRecord(w http.ResponseWriter, r *http.Request, status int, q team.Qualification,
	a ui.FormState) error {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	if err != nil {
		return err
	}
	today := unit.DateOf(s.Now().In(s.Zone(r)))
	p := view.RecordPage{Page: s.Page(r, q.Name, "Staff"), Tabs: view.StaffTabs("Records", kit.Coordinates(r)),
		Name: q.Name, URL: recordPath(q.Account),
		CanManage: account.May(kit.ViewerOf(r), account.ManageRecords, account.Subject{}) == nil}
	fillRecord(&p, q, kinds, today)
	if a.Values == nil {
		a.Values = map[string][]string{"from": {today.String()}}
	}
	p.Standing = kit.ApprovalForm().Fields(a)
	p.Certificate = kit.CertificateForm(kinds).Fields(a)
	p.ObservedForm = ObservedForm().Fields(a)
	return s.Render(w, r, status, view.Record(p))
}

func fillRecord(p *view.RecordPage, q team.Qualification, kinds []team.CertificateKind, today unit.Date) {
	now, has := q.On(today)
	p.Now = view.StatusStamp(string(now.Status))
	if has {
		p.NowSays = fmt.Sprintf("Today %s, up to %s hikes.", now.Level, now.MaxClass)
	}
	for i := len(q.Approvals) - 1; i >= 0; i-- {
		p.Changes = append(p.Changes, changeLine(q.Approvals[i]))
	}
	for _, c := range q.Certificates {
		p.Papers = append(p.Papers, view.CertificateLine{Kind: c.Kind, Issuer: c.Issuer, Number: c.Number,
			Through: c.Through.Words(), Evidence: c.Evidence, State: certificateStamp(c, today)})
	}
	for _, k := range kinds {
		if !q.Holds(k.Name, today) {
			p.Missing = append(p.Missing, k.Name)
		}
	}
	for _, o := range q.Observed {
		p.Observed = append(p.Observed, view.ObservedLine{Day: o.Day.Words(), Trail: o.Trail, Mentor: o.Mentor,
			Skills: strings.Join(o.Skills, ", "), Result: o.Result, Note: o.Note})
	}
	tomorrow := today.Add(1)
	p.Led = []ui.FigureText{
		{Label: "Led in 12 months", Value: strconv.Itoa(q.Led(tomorrow, 12))},
		{Label: "Led in 24 months", Value: strconv.Itoa(q.Led(tomorrow, 24))},
		{Label: "Last led", Value: lastLedDay(q)},
	}
	for _, w := range q.Walked {
		p.Walked = append(p.Walked, view.WalkedLine{Day: unit.DateOf(w.Start).Words(), Title: w.Title,
			URL: paths.Hike(w.Hike), Trail: w.Trail, Part: string(w.Role)})
	}
	for _, a := range q.Absences {
		p.Away = append(p.Away, a.Words())
	}
}

func changeLine(c team.Approval) view.ChangeLine {
	line := view.ChangeLine{From: c.From.Words(), Level: string(c.Level), Class: string(c.MaxClass),
		Status: view.StatusStamp(string(c.Status)), Reason: c.Reason, By: c.By}
	var endorsements []string
	for _, e := range c.Endorsements {
		endorsements = append(endorsements, string(e))
	}
	if len(endorsements) > 0 {
		line.Endorsed = "endorsed for " + strings.Join(endorsements, " and ")
	}
	return line
}

// saveRecord calls store, or shows the form again if it is wrong.
func (s *Handlers) saveRecord(w http.ResponseWriter, r *http.Request, q team.Qualification, f kit.Form, wrong error,
	store func() error, said string) error {
	invalid, err := f.Invalid(wrong)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderRecord(w, r, http.StatusUnprocessableEntity, q, kit.FormStateOf(r, invalid))
	}
	if err := store(); err != nil {
		return err
	}
	return s.SeeOther(w, r, recordPath(q.Account), said)
}

// AddApproval adds a dated approval of a level to a record.
func (s *Handlers) AddApproval(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	c := team.Approval{By: kit.NameOf(r), Written: s.Now()}
	kit.ApprovalForm().Read(f, &c)
	return s.saveRecord(w, r, q, f, c.Validate(),
		func() error { return s.Staff.AddApproval(r.Context(), q.Account, c) },
		"The change is written down. Hikes before "+c.From.Words()+" stay as they were.")
}

// AddCertificate adds a certificate to a record.
func (s *Handlers) AddCertificate(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	c := team.Certificate{Account: q.Account}
	kit.CertificateForm(nil).Read(f, &c)
	return s.saveRecord(w, r, q, f, c.Validate(), func() error { return s.Staff.AddCertificate(r.Context(), c) },
		"The certificate is on record.")
}

// AddObserved adds an observed hike to a record.
func (s *Handlers) AddObserved(w http.ResponseWriter, r *http.Request) error {
	q, err := s.recordIn(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	o := team.Observed{Account: q.Account}
	ObservedForm().Read(f, &o)
	if unit.DateOf(s.Now().Add(24 * time.Hour)).Before(o.Day) {
		f.Faults.Add("day", "This day has not come yet.")
	}
	return s.saveRecord(w, r, q, f, o.Validate(), func() error { return s.Staff.AddObserved(r.Context(), o) },
		"The observed hike is noted.")
}
