package plan

import (
	"errors"
	"fmt"
	"math"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Forecast is the day's weather as a leader reads it off a public forecast for the
// trailhead.
type Forecast struct {
	// Low and High are the day's extremes of shade air temperature.
	Low  unit.Temperature `json:"low_c"`
	High unit.Temperature `json:"high_c"`
	// DewPoint is taken as steady through the day.
	DewPoint unit.Temperature `json:"dew_point_c"`
	// Wind is the daytime mean at 10 m, the height that forecasts speak of.
	Wind unit.Speed `json:"wind_m_s"`
	// Cloud is the share of sky covered.
	Cloud unit.Fraction `json:"cloud"`
}

// Input is everything a plan depends on.
type Input struct {
	Profile track.Profile
	Surface walk.Surface
	// Start is when the party leaves the trailhead, in the trailhead's zone: its location
	// decides the civil day and every wall clock of the plan.
	Start    time.Time
	Forecast Forecast
	Party    walk.Party
	// Acclimatised says that everybody has had a week or more of work in such heat. For
	// strangers it is not known, so the default is no.
	Acclimatised bool
	House        House
}

// InputError says which input is at fault and why. Its message is meant for the person
// who typed it.
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
	if in.Party.Participants < 0 || in.Party.Participants > maxParty {
		faults = append(faults, bad("participants", "%d is not between 0 and %d", in.Party.Participants, maxParty))
	}
	if in.Party.Staff < 0 || in.Party.Staff > maxParty {
		faults = append(faults, bad("staff", "%d is not between 0 and %d", in.Party.Staff, maxParty))
	}
	if in.Party.Participants+in.Party.Staff == 0 {
		faults = append(faults, bad("party", "nobody walks: give participants or staff"))
	}
	return errors.Join(faults...)
}

// House judgement: beyond these the program refuses rather than extrapolates.
const (
	maxLength = 80 * unit.Kilometre
	maxParty  = 500
)

// Validate returns every fault of the forecast joined, each an InputError, or nil.
func (f Forecast) Validate() error {
	var faults []error
	within := func(field string, v, low, high float64, unitName string) {
		if math.IsNaN(v) || v < low || v > high {
			faults = append(faults, bad(field, "%.4g %s is not between %g and %g %s", v, unitName, low, high, unitName))
		}
	}
	// The heat model's published range is wider; these are the bounds of weather on earth
	// in which a day hike could be led at all.
	within("low", f.Low.Celsius(), -30, 50, "C")
	within("high", f.High.Celsius(), -30, 57, "C")
	within("dew point", f.DewPoint.Celsius(), -45, 35, "C")
	within("wind", f.Wind.MetresPerSecond(), 0, 30, "m/s")
	within("cloud", float64(f.Cloud), 0, 1, "(share of sky)")
	if f.Low > f.High {
		faults = append(faults, bad("low", "%.1f C is above the high of %.1f C", f.Low.Celsius(), f.High.Celsius()))
	}
	if f.DewPoint > f.High {
		faults = append(faults, bad("dew point", "%.1f C is above the high of %.1f C", f.DewPoint.Celsius(), f.High.Celsius()))
	}
	return errors.Join(faults...)
}
