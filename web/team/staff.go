package team

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/team/view"
	"saltbush/web/ui"
)

// ShowStaff lists the gaps in staffing of the days ahead.
func (s *Handlers) ShowStaff(w http.ResponseWriter, r *http.Request) error {
	now := s.Now()
	b, err := s.Book(r.Context(), now, staffing.GapsAhead)
	if err != nil {
		return err
	}
	p := view.StaffPage{Page: s.Page(r, "Staff", "Staff"), Tabs: view.StaffTabs("Gaps", true)}
	gaps := b.Gaps(now, unit.DateOf(now.In(s.Zone(r))))
	p.Days = gapDays(gaps, b)
	p.Says = gapsSummary(gaps, b, now)
	return s.Render(w, r, http.StatusOK, view.Staff(p))
}

func gapsSummary(gaps []staffing.Gap, b staffing.Book, now time.Time) string {
	coming, stopped := 0, map[ref.Hike]bool{}
	for _, l := range b.Listed {
		if l.Hike.Start.After(now) && (l.Hike.State == hike.Draft || l.Hike.State == hike.Posted) {
			coming++
		}
	}
	for _, g := range gaps {
		if g.Severity == staffing.Grave && g.Hike != 0 {
			stopped[g.Hike] = true
		}
	}
	return fmt.Sprintf("%s in the next %d days. %d cannot go as they stand: they have a gap stamped with a full "+
		"triangle.", format.Count(coming, "hike", "hikes"), staffing.GapsAhead, len(stopped))
}

// gapDays groups gaps by hike, or by person if they are not about a hike.
func gapDays(gaps []staffing.Gap, b staffing.Book) []view.GapDay {
	type about struct {
		hike ref.Hike
		who  ref.Account
	}
	at := map[about]int{}
	var days []view.GapDay
	for _, g := range gaps {
		key := about{hike: g.Hike}
		if g.Hike == 0 {
			key.who = g.Account
		}
		if _, known := at[key]; !known {
			at[key] = len(days)
			days = append(days, gapDay(g, b))
		}
		d := &days[at[key]]
		d.Gaps = append(d.Gaps, view.GapLine{Stamp: view.GapStamp(g.What, int(g.Severity)), Says: g.Says})
	}
	return days
}

func gapDay(g staffing.Gap, b staffing.Book) view.GapDay {
	d := view.GapDay{Day: format.ShortDay(g.Day.Time(), time.UTC)}
	for _, l := range b.Listed {
		if l.Hike.ID == g.Hike {
			d.Title, d.URL, d.Trail = l.Hike.Title, paths.Staffing(g.Hike), l.Trail.Name
		}
	}
	for _, q := range b.People {
		if g.Hike == 0 && q.Account == g.Account {
			d.Title, d.URL = q.Name, recordPath(q.Account)
		}
	}
	return d
}

// ShowStaffRules is the page of required certificates and known drives.
func (s *Handlers) ShowStaffRules(w http.ResponseWriter, r *http.Request) error {
	return s.renderStaffRules(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderStaffRules(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	if err != nil {
		return err
	}
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return err
	}
	roads, err := s.Staff.Roads(r.Context())
	if err != nil {
		return err
	}
	p := view.StaffRulesPage{Page: s.Page(r, "Rules and drives", "Staff"),
		Tabs: view.StaffTabs("Rules and drives", true), Kind: view.NewKindFields(a),
		Drives: drivesLedger(trails, roads)}
	for _, k := range kinds {
		p.Kinds = append(p.Kinds, kindLine(k))
	}
	p.Drive = view.NewDriveFields(a, trailOptions(trails))
	return s.Render(w, r, status, view.StaffRules(p))
}

func trailOptions(trails []trail.Trail) []ui.Option {
	var options []ui.Option
	for _, t := range trails {
		options = append(options, ui.Option{Value: strconv.FormatInt(int64(t.ID), 10), Label: t.Name})
	}
	return options
}

func kindLine(k team.CertificateKind) view.KindLine {
	line := view.KindLine{Name: k.Name, Shared: "no",
		RemoveURL: "/staff/rules/kinds/remove?kind=" + url.QueryEscape(k.Name)}
	switch {
	case k.Leader && k.Sweep:
		line.Asked = "leader and sweep"
	case k.Leader:
		line.Asked = "leader"
	case k.Sweep:
		line.Asked = "sweep"
	}
	if k.Minors {
		line.Asked += ", with minors"
	}
	if k.Shared {
		line.Shared = "yes, another who may lead"
	}
	return line
}

// drivesLedger lists every drive once, with the source of its figure.
func drivesLedger(trails []trail.Trail, roads trail.Roads) ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Between"}, {Label: "By car", Figure: true}, {Label: "From"}}}
	for i, a := range trails {
		for _, b := range trails[i+1:] {
			d := roads.Between(a.ID, b.ID)
			l.Rows = append(l.Rows,
				[]ui.Cell{{Text: a.Name + " and " + b.Name}, {Text: format.Duration(d.Takes)}, {Text: d.Basis()}})
		}
	}
	return l
}

// SaveKind stores a kind of certificate that the house requires.
func (s *Handlers) SaveKind(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	k := team.CertificateKind{Name: f.Text("kind"), Shared: f.Checked("shared")}
	asked := r.PostForm["asked"]
	k.Leader, k.Sweep, k.Minors = slices.Contains(asked, "leader"), slices.Contains(asked, "sweep"),
		slices.Contains(asked, "minors")
	invalid, err := f.Invalid(k.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderStaffRules(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err := s.Staff.SaveCertificateKind(r.Context(), k); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/staff/rules", "The rule for "+k.Name+" is kept.")
}

// RemoveKind deletes a kind of certificate.
func (s *Handlers) RemoveKind(w http.ResponseWriter, r *http.Request) error {
	name := r.URL.Query().Get("kind")
	if err := s.Staff.RemoveCertificateKind(r.Context(), name); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/staff/rules", name+" is asked for no more. Papers on record stay.")
}

// longestDrive is the limit of a drive, in minutes.
// Our judgment: trailheads of one organization are less than a day apart.
const longestDrive = 24 * 60

// SaveDrive stores how long the drive between two trailheads takes.
func (s *Handlers) SaveDrive(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	from, to := f.Whole("from", "Choose a trail."), f.Whole("to", "Choose a trail.")
	minutes := f.Whole("minutes", "Give whole minutes, such as 75.")
	if f.Text("minutes") == "" || minutes < 0 || minutes > longestDrive {
		f.Faults.Add("minutes", "Give whole minutes, such as 75.")
	}
	if from == to {
		f.Faults.Add("to", "Choose another trail than the first.")
	}
	for field, id := range map[string]int{"from": from, "to": to} {
		if _, err := s.Hikes.Trail(r.Context(), ref.Trail(id)); err != nil {
			f.Faults.Add(field, "Choose a trail.")
		}
	}
	if len(f.Faults) > 0 {
		return s.renderStaffRules(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	if err := s.Staff.SaveDrive(r.Context(), trail.Pair{From: ref.Trail(from), To: ref.Trail(to)},
		time.Duration(minutes)*time.Minute); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/staff/rules", "The drive is kept; clashes are worked out with it.")
}
