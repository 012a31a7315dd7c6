package plan

import (
	"errors"
	"fmt"
	"math"
	"time"

	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Forecast is the day's weather as a leader reads it from a public forecast for the trailhead.
type Forecast struct {
	// Low and High are the day's extremes of shade air temperature.
	Low  unit.Temperature `json:"low_c"`
	High unit.Temperature `json:"high_c"`
	// DewPoint is assumed to be constant through the day.
	DewPoint unit.Temperature `json:"dew_point_c"`
	// Wind is the daytime mean at 10 m, the height of forecasts.
	Wind unit.Speed `json:"wind_m_s"`
	// Cloud is the share of sky covered.
	Cloud unit.Fraction `json:"cloud"`
	// Hourly, if given, replaces the computed course of the day between its first and last line. Lines are an hour or
	// less apart.
	Hourly []HourlyAir `json:"hourly,omitempty"`
	// Official is what the weather service and the land manager say about the day.
	Official Official `json:"official,omitzero"`
}

// Input is everything a plan depends on.
type Input struct {
	Profile track.Profile
	Surface walk.Surface
	// Start is when the party leaves the trailhead, in the trailhead's zone. Its location decides the civil day and all
	// clock times of the plan.
	Start    time.Time
	Forecast Forecast
	Party    walk.Party
	// Acclimatized says that everybody has had a week or more of work in such heat. Nobody knows that of strangers, so
	// the default is no.
	Acclimatized bool
	// Rules are the organization's.
	Rules rules.Planning
	// Points are the named places on the way.
	Points []Point
	// Turn is where the party turns back and returns the same way, by the distance from the start. It is zero where
	// the party walks the whole profile.
	Turn unit.Length
}

// Point is a named place on the way, by its distance from the start of the walk.
type Point struct {
	Name  string
	Along unit.Length
	// Water says that there may be water. WaterSeen is the day on which the organization confirmed it, zero if never.
	Water     bool
	WaterSeen time.Time
}

// InputError says which input is at fault and why. Its message is for the person who typed it.
type InputError struct {
	Field  string
	Reason string
}

func (e *InputError) Error() string { return e.Field + ": " + e.Reason }

func bad(field, format string, args ...any) error {
	return &InputError{Field: field, Reason: fmt.Sprintf(format, args...)}
}

// Validate returns every fault of the input joined, each an InputError, or nil.
func (in Input) Validate() error {
	return errors.Join(in.validateWalk(), in.Forecast.Validate())
}

func (in Input) validateWalk() error {
	var faults []error
	if len(in.Profile.Samples) < 2 || !(in.Profile.Length > 0) {
		faults = append(faults, bad("trail", "has no line to walk"))
	}
	if in.Profile.Length > maxLength {
		faults = append(faults, bad("trail", "is %.0f km long; a day hike is planned up to %.0f km",
			in.Profile.Length.Kilometres(), maxLength.Kilometres()))
	}
	if in.Start.IsZero() {
		faults = append(faults, bad("start", "is missing"))
	}
	if !(in.Turn == 0 || in.Turn >= NearestTurn && in.Turn <= in.Profile.Far()) {
		faults = append(faults, bad("turn", "is not between %.0f m and the far point of the trail",
			NearestTurn.Metres()))
	}
	faults = append(faults, in.heightFaults()...)
	faults = append(faults, in.pointFaults()...)
	if in.Party.Participants < 0 || in.Party.Participants > maxParty {
		faults = append(faults, bad("participants", "%d is not between 0 and %d", in.Party.Participants, maxParty))
	}
	if in.Party.Staff < 0 || in.Party.Staff > maxParty {
		faults = append(faults, bad("staff", "%d is not between 0 and %d", in.Party.Staff, maxParty))
	}
	switch people := in.Party.Participants + in.Party.Staff; {
	case people == 0:
		faults = append(faults, bad("party", "nobody walks: give participants or staff"))
	case people > maxParty:
		faults = append(faults, bad("party", "%d people are more than %d", people, maxParty))
	}
	return errors.Join(faults...)
}

// Our judgment: beyond these the program refuses rather than extrapolates.
const (
	maxLength = 80 * unit.Kilometre
	maxParty  = 200
	lowestWay = -500 * unit.Metre // the lowest shore on earth is at -430 m
	maxHeight = 5500 * unit.Metre // the limit of the heat model's air pressure
	maxPoints = 200
)

func (in Input) heightFaults() []error {
	if len(in.Profile.Samples) > 0 && math.IsNaN(float64(in.Profile.Samples[0].Elevation)) {
		return []error{bad("trail", "has a trailhead whose height is not a number")}
	}
	if !(in.Profile.Lowest >= lowestWay && in.Profile.Highest <= maxHeight) {
		return []error{bad("trail", "runs from %.0f to %.0f m; walks are planned between %.0f and %.0f m",
			in.Profile.Lowest.Metres(), in.Profile.Highest.Metres(), lowestWay.Metres(), maxHeight.Metres())}
	}
	return nil
}

func (in Input) pointFaults() []error {
	var faults []error
	if len(in.Points) > maxPoints {
		faults = append(faults, bad("points", "%d are more than %d", len(in.Points), maxPoints))
	}
	for i, p := range in.Points {
		switch {
		case p.Name == "":
			faults = append(faults, bad("points", "number %d has no name", i+1))
		case !(p.Along >= 0 && p.Along <= in.Profile.Length):
			faults = append(faults, bad("points", "%s at %.0f m is not on the trail of %.0f m",
				p.Name, p.Along.Metres(), in.Profile.Length.Metres()))
		}
	}
	return faults
}

// Validate returns every fault of the forecast joined, each an InputError, or nil.
func (f Forecast) Validate() error {
	var faults []error
	steady := HourlyAir{DewPoint: f.DewPoint, Wind: f.Wind, Cloud: f.Cloud}
	faults = append(faults, within("low", f.Low.Celsius(), coldestLow, 50, "C"))
	faults = append(faults, steady.faults("", f.High, "high")...)
	if f.Low > f.High {
		faults = append(faults, bad("low", "%.1f C is above the high of %.1f C", f.Low.Celsius(), f.High.Celsius()))
	}
	faults = append(faults, f.Official.Validate())
	return errors.Join(append(faults, f.hourlyFaults()...)...)
}

// Bounds of the weather in which a day hike could be led at all. Our judgment, and the hottest air ever measured,
// 56.7 C. The published range of the heat model is wider.
const coldestLow, hottestHigh = -30, 57

// faults names each fault of an air temperature and its moisture, wind and cloud. The prefix goes before the name of
// each field.
func (h HourlyAir) faults(prefix string, air unit.Temperature, airName string) []error {
	faults := []error{
		within(prefix+airName, air.Celsius(), coldestLow, hottestHigh, "C"),
		within(prefix+"dew point", h.DewPoint.Celsius(), -45, 35, "C"),
		within(prefix+"wind", h.Wind.MetresPerSecond(), 0, 30, "m/s"),
		within(prefix+"cloud", float64(h.Cloud), 0, 1, "(share of sky)"),
	}
	if h.DewPoint > air {
		faults = append(faults, bad(prefix+"dew point", "%.1f C is above the %s of %.1f C",
			h.DewPoint.Celsius(), airName, air.Celsius()))
	}
	return faults
}

func within(field string, v, low, high float64, unitName string) error {
	if math.IsNaN(v) || v < low || v > high {
		return bad(field, "%.4g %s is not between %g and %g %s", v, unitName, low, high, unitName)
	}
	return nil
}
