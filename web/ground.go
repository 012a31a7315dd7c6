package web

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/hike"
	"saltbush/web/view"
)

// trailGround fills what is known of the trail as it lies today.
func (s *Server) trailGround(r *http.Request, p *view.TrailPage, t hike.Trail, a view.Answers) error {
	g, err := s.Ground.Ground(r.Context(), t.ID)
	if err != nil {
		return err
	}
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	today := hike.DateOf(s.Now().In(t.Location()))
	p.Ground = view.GroundText{Scout: view.NewScoutFields(a), Closure: view.NewClosureFields(a)}
	p.Ground.Scouted, p.Ground.Says = scouted(g, today, house.Rules)
	for _, x := range g.Scouts {
		p.Ground.Reports = append(p.Ground.Reports, view.ReportLine{Walked: x.Walked.Words(), By: x.By, Times: x.Times, Conditions: x.Conditions, Hazards: x.Hazards})
	}
	for _, c := range g.Closures {
		if c.To.IsZero() || !c.To.Before(today) {
			p.Ground.Closures = append(p.Ground.Closures, closureLine(c))
		}
	}
	return nil
}

// scouted says on whose feet what is known of the way stands. It is never a green light.
func scouted(g hike.Ground, on hike.Date, rules hike.Rules) (view.StampText, string) {
	state, last, age := g.ScoutedFor(on, rules)
	stamp := view.ScoutedStamp(string(state))
	if state == hike.NotScouted {
		return stamp, "Nobody has reported walking this trail. Its state is not known."
	}
	stands := int(rules.ScoutStands(on.Time()).Hours() / 24)
	return stamp, fmt.Sprintf("Walked on %s by %s, %s before. At this time of the year a report stands %d days: this organisation's rule.", last.Walked.Words(), last.By, view.Count(age, "day", "days"), stands)
}

func closureLine(c hike.Closure) view.ClosureLine {
	line := view.ClosureLine{When: "from " + c.From.Words() + " until further notice", Why: c.Why, Source: c.Source, Kind: "a caution",
		RemoveURL: fmt.Sprintf("%s/closures/%d/remove", trailPath(c.Trail), c.ID)}
	if !c.To.IsZero() {
		line.When = c.From.Words() + " to " + c.To.Words()
	}
	if c.Blocks {
		line.Kind = "no hike goes here"
	}
	return line
}

// dayIn reads a day; an empty one is none.
func (f form) dayIn(name string) hike.Date {
	if f.text(name) == "" {
		return hike.Date{}
	}
	d, err := hike.ParseDate(f.text(name))
	if err != nil {
		f.faults.Add(name, "Give the day, such as 2027-03-14.")
	}
	return d
}

func (s *Server) addScoutReport(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	x := hike.ScoutReport{Trail: t.ID, Walked: f.dayIn("walked"), By: f.text("scout_by"), Times: f.text("times"),
		Conditions: f.paragraph("conditions"), Hazards: f.text("hazards"), Noted: s.Now()}
	invalid, err := f.invalid(x.Validate(hike.DateOf(s.Now().In(t.Location()))))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, answers(r, invalid))
	}
	if err := s.Ground.AddScoutReport(r.Context(), x); err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID)+"#lies", "The report is kept.")
}

func (s *Server) addClosure(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	c := hike.Closure{Trail: t.ID, From: f.dayIn("from_day"), To: f.dayIn("to_day"), Why: f.text("why"), Source: f.text("source"),
		Blocks: f.text("blocks") != "no", By: nameOf(r), Noted: s.Now()}
	invalid, err := f.invalid(c.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, answers(r, invalid))
	}
	if err := s.Ground.AddClosure(r.Context(), c); err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID)+"#lies", "The closure is kept. Hikes that are posted already are flagged, not called off: decide on each.")
}

func (s *Server) removeClosure(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	id, err := strconv.ParseInt(chi.URLParam(r, "closure"), 10, 64)
	if err != nil {
		return fmt.Errorf("closure %q: %w", chi.URLParam(r, "closure"), hike.ErrNotFound)
	}
	if err := s.Ground.RemoveClosure(r.Context(), t.ID, id); err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID)+"#lies", "The closure is taken away.")
}
