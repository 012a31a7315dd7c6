package watch

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/rules"
	"saltbush/internal/sheet"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/watch/view"
)

// ShowLand shows what the land manager is told about a hike, before and after it: numbers, and
// only the names of the leader and of on-call.
func (s *Handlers) ShowLand(w http.ResponseWriter, r *http.Request) error {
	x, facts, err := s.landFacts(r)
	if err != nil {
		return err
	}
	h := x.Hike
	p := view.LandPage{Page: s.Page(r, "For the land manager: "+h.Title, "Desk"), Hike: h.Title,
		When: format.Day(h.Start, x.Zone()),
		To:   x.Data.Trail.Manager, Facts: facts, CSVURL: paths.Land(h.ID) + ".csv", BackURL: paths.Manage(h.ID)}
	p.Text = landMail(facts)
	return s.Render(w, r, http.StatusOK, view.Land(p))
}

// landMail is the text of a mail, to be sent with the viewer's own mail program.
func landMail(facts []format.Line) string {
	var b strings.Builder
	for _, f := range facts {
		fmt.Fprintf(&b, "%s: %s\n", f.Label, format.OrElse(f.Value, "not known"))
	}
	return b.String()
}

// DownloadLand sends the same as one row of a table.
func (s *Handlers) DownloadLand(w http.ResponseWriter, r *http.Request) error {
	x, facts, err := s.landFacts(r)
	if err != nil {
		return err
	}
	var head, row []string
	for _, f := range facts {
		head, row = append(head, f.Label), append(row, f.Value)
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="hike-%d-land-manager.csv"`, x.Hike.ID))
	return sheet.Write(w, head, [][]string{row})
}

// landFacts collects what the land manager may see, whoever the viewer is.
func (s *Handlers) landFacts(r *http.Request) (watchData, []format.Line, error) {
	x, err := s.loadWatch(r, watchViewer{id: kit.HikeIn(r).ID, name: kit.NameOf(r)})
	if err != nil {
		return x, nil, err
	}
	x.visibility = privacy.Visibility{As: []privacy.Capacity{privacy.AsLandManager}, Window: x.Window(s.Now())}
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return x, nil, err
	}
	ground, err := s.Ground.Ground(r.Context(), x.Hike.Trail)
	return x, append(x.landPlan(house), x.landAfter(ground)...), err
}

// landPlan is what is known before a hike.
func (x watchData) landPlan(house rules.House) []format.Line {
	h, zone, n := x.Hike, x.Zone(), x.State.Numbers(x.Roster)
	leader, _ := h.StaffOf(team.Leader)
	onCall := nameAndPhone(h.OnCall.Name, h.OnCall.Phone)
	lines := []format.Line{
		{Label: "Organisation", Value: format.OrElse(house.Organisation, "Saltbush")},
		{Label: "Hike", Value: h.Title}, {Label: "Date", Value: format.Day(h.Start, zone)},
		{Label: "Trail", Value: x.Case.Trail},
		{Label: "Permit", Value: format.OrElse(x.Data.Trail.PermitNumber, "none on record")},
		{Label: "Meet", Value: format.Clock(h.Meet, zone)}, {Label: "Start", Value: format.Clock(h.Start, zone)},
		{Label: "Back", Value: "not known: no plan was made"},
		{Label: "Party", Value: strconv.Itoa(n.Walkers + n.Staff)},
		{Label: "Of them staff", Value: strconv.Itoa(n.Staff)},
		{Label: "Vehicles", Value: strconv.Itoa(n.Cars)},
		{Label: "Leader", Value: format.OrElse(leader.Name, "nobody named")},
		{Label: "On call", Value: format.OrElse(onCall, "nobody named")},
		{Label: "State", Value: string(h.State)},
	}
	if x.Promised {
		lines[7].Value = format.ClockRange(x.Times.Expected, x.Times.Latest, zone)
	}
	if h.State == hike.CalledOff {
		lines[len(lines)-1].Value += ": " + h.CalledOffBecause
	}
	if plates := x.carWords(); plates != "" {
		lines = append(lines, format.Line{Label: "Plates in the lot", Value: plates})
	}
	return lines
}

// landAfter is what is known once they have left, and once they are back.
func (x watchData) landAfter(ground trail.Ground) []format.Line {
	n, zone := x.State.Numbers(x.Roster), x.Zone()
	if n.Departed.IsZero() {
		return nil
	}
	lines := []format.Line{{Label: "Left", Value: format.Clock(n.Departed, zone)},
		{Label: "Went out", Value: strconv.Itoa(n.Out)}, {Label: "Left early", Value: strconv.Itoa(n.LeftEarly)}}
	if n.Back.IsZero() {
		return append(lines, format.Line{Label: "All back", Value: "not yet"})
	}
	return append(lines, format.Line{Label: "All back", Value: format.Clock(n.Back, zone)},
		format.Line{Label: "Conditions",
			Value: format.OrElse(conditionsOn(ground, unit.DateOf(x.Hike.Start.In(zone))), "not reported")})
}

// conditionsOn returns the conditions reported by people who walked the trail that day.
func conditionsOn(ground trail.Ground, day unit.Date) string {
	var parts []string
	for _, r := range ground.Scouts {
		if r.Walked == day {
			parts = append(parts, strings.Trim(r.Conditions+" "+r.Hazards, " "))
		}
	}
	return strings.Join(parts, " ")
}
