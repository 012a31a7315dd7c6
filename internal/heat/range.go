package heat

import "fmt"

// RangeError says which input lies outside of what a model was made for. An input that is
// not a number is outside of every range.
type RangeError struct {
	// Quantity names the input in plain words, such as "air temperature".
	Quantity         string
	unit             string
	value, low, high float64
}

// Error reads like "air temperature 71 C is outside -40 to 60 C".
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %.4g%s is outside %g to %g%s", e.Quantity, e.value, e.unit, e.low, e.high, e.unit)
}

// bound is the range of one input.
type bound struct {
	quantity, unit string
	low, high      float64
}

func (b bound) holds(v float64) bool { return v >= b.low && v <= b.high } // NaN fails

func (b bound) refuse(v float64) error {
	return &RangeError{Quantity: b.quantity, unit: b.unit, value: v, low: b.low, high: b.high}
}
