package hikes

import (
	"errors"
	"net/http"
	"strconv"

	"saltbush/internal/fault"
	"saltbush/internal/heat"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// SetForecast keeps the typed forecast and the plan that follows from it.
func (s *Handlers) SetForecast(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	f := kit.NewForm(r)
	forecast := readForecast(f)
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

// reconsider withdraws a decision that was taken on a calmer plan.
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

func readForecast(f kit.Form) plan.Forecast {
	forecast := plan.Forecast{
		Low:   f.Temperature("low", "temperature_unit", "Give the day's lowest temperature."),
		High:  f.Temperature("high", "temperature_unit", "Give the day's highest temperature."),
		Wind:  f.Speed("wind", "wind_unit", "Give the daytime wind; 0 for calm."),
		Cloud: unit.Percent(f.Number("cloud", "Give the share of sky covered in percent; 0 for clear.")).Fraction(),
	}
	forecast.DewPoint = readMoisture(f, forecast.High)
	forecast.Official = readOfficial(f)
	return forecast
}

// readOfficial takes what the leader looked up; what is left empty is not known.
func readOfficial(f kit.Form) plan.Official {
	o := plan.Official{Warning: plan.WarningState(f.Text("warning")), WarningText: f.Text("warning_text")}
	if f.Text("heat_level") != "" {
		level := plan.HeatLevel(f.Whole("heat_level", "Choose a level, 0 to 4."))
		o.HeatLevel = &level
	}
	if f.Text("storm") != "" {
		chance := unit.Percent(f.Number("storm", "Give the chance in percent.")).Fraction()
		o.Storm = &chance
	}
	if f.Text("air_quality") != "" {
		index := plan.AirQuality(f.Whole("air_quality", "Give the index as a whole number."))
		o.AirQuality = &index
	}
	return o
}

// officialValues gives the form what is on file.
func officialValues(o plan.Official) map[string][]string {
	values := map[string][]string{"warning": {string(o.Warning)}, "warning_text": {o.WarningText}}
	if o.HeatLevel != nil {
		values["heat_level"] = []string{strconv.Itoa(int(*o.HeatLevel))}
	}
	if o.Storm != nil {
		values["storm"] = []string{strconv.FormatFloat(round1(float64(o.Storm.Percent())), 'f', -1, 64)}
	}
	if o.AirQuality != nil {
		values["air_quality"] = []string{strconv.Itoa(int(*o.AirQuality))}
	}
	return values
}

// readMoisture takes the dew point, or the humidity at the hottest hour.
func readMoisture(f kit.Form, high unit.Temperature) unit.Temperature {
	if f.Text("humidity") == "" || f.Text("dew_point") != "" {
		return f.Temperature("dew_point", "temperature_unit", "Give the dew point, or the humidity at the hottest hour.")
	}
	h := unit.Percent(f.Number("humidity", "Give the humidity in percent."))
	if !(h >= 1 && h <= 100) {
		f.Faults.Add("humidity", "Give the humidity in percent, 1 to 100.")
		return 0
	}
	return heat.DewPoint(high, h.Fraction())
}

// forecastFaults puts the planning service's words beside the fields of the form.
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

// verdictOf is what the newest plan advises; without a plan nothing says go.
func (s *Handlers) verdictOf(r *http.Request, id ref.Hike) (plan.Decision, error) {
	p, err := s.Hikes.LatestPlan(r.Context(), id)
	if errors.Is(err, fault.ErrNotFound) {
		return "", nil
	}
	return p.Plan.Verdict.Decision, err
}
