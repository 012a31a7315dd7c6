package hikes

import (
	"errors"
	"net/http"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/web/kit"
)

// SetForecast stores a forecast and the plan computed from it.
func (s *Handlers) SetForecast(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	f := kit.NewForm(r)
	var forecast plan.Forecast
	ForecastForm(s.UnitsOf(r)).Read(f, &forecast)
	invalid, err := f.Invalid(forecastFaults(forecast.Validate()))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, invalid))
	}
	before, err := s.verdictOf(r, h.ID)
	if err != nil {
		return err
	}
	tellChanged := s.notify.NotifyOnChange(r.Context(), h.ID)
	err = s.Hikes.ChangeHike(r.Context(), h.ID, func(h *hike.Hike) error { return h.SetForecast(forecast) })
	if err != nil {
		return err
	}
	if err := s.replan(r, h.ID); err != nil {
		return err
	}
	tellChanged()
	said := "A new plan is computed from this forecast. Earlier plans are kept."
	withdrawn, err := s.reconsider(r, h.ID, before)
	if withdrawn {
		said += " It is graver than the plan before, so the decision to go is withdrawn: decide anew."
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Manage(h.ID), said)
}

// reconsider withdraws a decision that was based on a milder plan.
func (s *Handlers) reconsider(r *http.Request, id ref.Hike, before plan.Decision) (withdrawn bool, err error) {
	after, err := s.verdictOf(r, id)
	if err != nil {
		return false, err
	}
	err = s.Hikes.ChangeHike(r.Context(), id, func(h *hike.Hike) error {
		withdrawn = h.Reconsider(before, after)
		return nil
	})
	return withdrawn, err
}

// forecastFaults puts the faults that the planner finds beside the fields of the form.
func forecastFaults(err error) error {
	if err == nil {
		return nil
	}
	names := map[string]string{"dew point": "dew_point"}
	invalid := fault.Invalid{}
	for _, fault := range kit.Leaves(err) {
		var in *plan.InputError
		if !errors.As(fault, &in) {
			return err
		}
		field := in.Field
		if n, ok := names[field]; ok {
			field = n
		}
		invalid.Add(field, in.Reason+".")
	}
	return invalid
}

// verdictOf returns the verdict of the newest plan, "" without a plan.
func (s *Handlers) verdictOf(r *http.Request, id ref.Hike) (plan.Decision, error) {
	p, err := s.Hikes.LatestPlan(r.Context(), id)
	if errors.Is(err, fault.ErrNotFound) {
		return "", nil
	}
	return p.Plan.Verdict.Decision, err
}
