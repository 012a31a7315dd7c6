package plan

import (
	"errors"
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// Normal is a month's usual day at the trailhead: the means of many years.
type Normal struct {
	// Low and High are the mean daily extremes of shade air temperature.
	Low  unit.Temperature `json:"low_c"`
	High unit.Temperature `json:"high_c"`
	// DewPoint, Wind at 10 m and Cloud are daytime means.
	DewPoint unit.Temperature `json:"dew_point_c"`
	Wind     unit.Speed       `json:"wind_m_s"`
	Cloud    unit.Fraction    `json:"cloud"`
	// HotBy is how much hotter than usual the month's hot day is, as a difference. Zero
	// leaves it to what the house allows for an error of the forecast.
	HotBy unit.Temperature `json:"hot_by_c,omitempty"`
}

// Normals holds the months that are known. A month that is missing is not known, and
// nothing is said to be safe in it.
type Normals map[time.Month]Normal

func (n Normal) forecast() Forecast {
	return Forecast{Low: n.Low, High: n.High, DewPoint: n.DewPoint, Wind: n.Wind, Cloud: n.Cloud}
}

// hotBy is how much hotter than usual the hot day is taken.
func (n Normal) hotBy(h House) unit.Temperature {
	if n.HotBy > 0 {
		return n.HotBy
	}
	return max(0, h.ForecastError)
}

// House judgement: a month whose hot day is farther than this from its usual day was
// mistyped.
const mostHotBy unit.Temperature = 20

// Validate returns every fault of one month joined, each an InputError, or nil.
func (n Normal) Validate() error {
	faults := []error{n.forecast().Validate(), within("hot_by", n.HotBy.Celsius(), 0, float64(mostHotBy), "C")}
	if hot := n.High + n.HotBy; hot > hottestHigh && n.High <= hottestHigh {
		faults = append(faults, bad("hot_by", "makes the hot day %.1f C, above %d C", hot.Celsius(), hottestHigh))
	}
	return errors.Join(faults...)
}

// Validate returns every fault of every month joined, each an InputError, or nil.
func (n Normals) Validate() error {
	var faults []error
	for m := time.January; m <= time.December; m++ {
		if month, known := n[m]; known {
			for _, f := range flat(month.Validate()) {
				faults = append(faults, inMonth(m, f))
			}
		}
	}
	for m := range n {
		if m < time.January || m > time.December {
			faults = append(faults, bad("month", "%d is not between 1 and 12", int(m)))
		}
	}
	return errors.Join(faults...)
}

// missing names the months that are not known.
func (n Normals) missing() []string {
	var names []string
	for m := time.January; m <= time.December; m++ {
		if _, known := n[m]; !known {
			names = append(names, m.String())
		}
	}
	return names
}

func inMonth(m time.Month, err error) error {
	var in *InputError
	if errors.As(err, &in) {
		return &InputError{Field: fmt.Sprintf("%s %s", m, in.Field), Reason: in.Reason}
	}
	return err
}

// flat lists the errors that were joined into one.
func flat(err error) []error {
	if err == nil {
		return nil
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, e := range joined.Unwrap() {
		all = append(all, flat(e)...)
	}
	return all
}
