package trails

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/fault"
	"saltbush/internal/paths"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/trails/view"
	"saltbush/web/ui"
)

// trailGround adds what is known of the state of the trail today.
func (s *Handlers) trailGround(r *http.Request, p *view.TrailPage, t trail.Trail, a ui.FormState) error {
	g, err := s.Ground.Ground(r.Context(), t.ID)
	if err != nil {
		return err
	}
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	today := unit.DateOf(s.Now().In(t.Location()))
	p.Ground = view.GroundText{Scout: ScoutForm().Fields(a), Closure: ClosureForm().Fields(a)}
	p.Ground.Scouted, p.Ground.Says = kit.Scouted(g, today, house.Rules)
	for _, x := range g.Scouts {
		p.Ground.Reports = append(p.Ground.Reports,
			view.ReportLine{Walked: x.Walked.Words(), By: x.By, Times: x.Times, Conditions: x.Conditions,
				Hazards: x.Hazards})
	}
	for _, c := range g.Closures {
		if c.To.IsZero() || !c.To.Before(today) {
			p.Ground.Closures = append(p.Ground.Closures, closureLine(c))
		}
	}
	return nil
}

func closureLine(c trail.Closure) view.ClosureLine {
	line := view.ClosureLine{When: "from " + c.From.Words() + " until further notice", Why: c.Why, Source: c.Source,
		Kind:      "a caution",
		RemoveURL: fmt.Sprintf("%s/closures/%d/remove", paths.Trail(c.Trail), c.ID)}
	if !c.To.IsZero() {
		line.When = c.From.Words() + " to " + c.To.Words()
	}
	if c.Blocks {
		line.Kind = "no hike goes here"
	}
	return line
}

// AddScoutReport stores a report by somebody who walked the trail.
func (s *Handlers) AddScoutReport(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	x := trail.ScoutReport{Trail: t.ID, Noted: s.Now()}
	ScoutForm().Read(f, &x)
	invalid, err := f.Invalid(x.Validate(unit.DateOf(s.Now().In(t.Location()))))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, kit.FormStateOf(r, invalid))
	}
	if err := s.Ground.AddScoutReport(r.Context(), x); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID)+"#lies", "The report is kept.")
}

// AddClosure stores a closure. Hikes that are posted already are flagged.
func (s *Handlers) AddClosure(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	c := trail.Closure{Trail: t.ID, By: kit.NameOf(r), Noted: s.Now()}
	ClosureForm().Read(f, &c)
	invalid, err := f.Invalid(c.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, kit.FormStateOf(r, invalid))
	}
	if err := s.Ground.AddClosure(r.Context(), c); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID)+"#lies",
		"The closure is kept. Hikes that are posted already are flagged, not called off: decide on each.")
}

// RemoveClosure deletes a closure.
func (s *Handlers) RemoveClosure(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	id, err := strconv.ParseInt(chi.URLParam(r, "closure"), 10, 64)
	if err != nil {
		return fmt.Errorf("closure %q: %w", chi.URLParam(r, "closure"), fault.ErrNotFound)
	}
	if err := s.Ground.RemoveClosure(r.Context(), t.ID, id); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID)+"#lies", "The closure is taken away.")
}
