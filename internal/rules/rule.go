package rules

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"saltbush/internal/unit"
)

// Rule is what is to be known of one rule of the house.
type Rule struct {
	Key   string // in forms and in the store
	Group string
	Name  string // in plain words
	Unit  RuleUnit
	// Source says where the default is from.
	Source      string
	Least, Most Amount
	// Step is how far one tap moves the rule toward caution.
	Step    Amount
	Caution Caution
	access
}

// Amount is a figure in the unit of its rule.
type Amount float64

// Caution is the way in which a rule becomes more cautious.
type Caution int

// The ways. A rule of neither way may be changed without a reason.
const (
	Neither Caution = 0
	Lower   Caution = -1
	Higher  Caution = 1
)

// TowardRisk reports whether a change of the rule is less cautious than what stood.
func (r Rule) TowardRisk(from, to Amount) bool {
	return (to-from)*Amount(r.Caution) < 0
}

// MoreCautious returns the rule one step nearer to caution, and false where it has no such
// way or stands at its end.
func (r Rule) MoreCautious(from Amount) (Amount, bool) {
	to := max(r.Least, min(r.Most, from+r.Step*Amount(r.Caution)))
	return to, to != from
}

// RuleUnit is what a rule is counted in.
type RuleUnit string

// The units of rules. Amounts of temperature are in degrees Celsius, and a difference of
// temperature in kelvins.
const (
	People       RuleUnit = "people"
	Years        RuleUnit = "years"
	Minutes      RuleUnit = "minutes"
	Hours        RuleUnit = "hours"
	Days         RuleUnit = "days"
	CalendarMon  RuleUnit = "month"
	Degrees      RuleUnit = "degrees"
	DegreesMore  RuleUnit = "degrees more"
	Times        RuleUnit = "times"
	InHundred    RuleUnit = "percent"
	Kilograms    RuleUnit = "kilograms"
	LitresAnHour RuleUnit = "litres an hour"
)

// Words writes an amount with its unit; temperatures in both scales.
func (u RuleUnit) Words(a Amount) string {
	n := a.String()
	switch u {
	case Degrees:
		return fmt.Sprintf("%.1f C (%.0f F)", float64(a), unit.Celsius(float64(a)).Fahrenheit())
	case DegreesMore:
		return fmt.Sprintf("%.1f C (%.0f F)", float64(a), float64(a)*1.8)
	case CalendarMon:
		return time.Month(a).String()
	case InHundred:
		return n + " %"
	case Kilograms:
		return n + " kg"
	case LitresAnHour:
		return n + " L/h"
	}
	return n + " " + string(u)
}

// String writes the bare figure, to a thousandth.
func (a Amount) String() string {
	return strconv.FormatFloat(math.Round(float64(a)*1000)/1000, 'f', -1, 64)
}

// access reads and writes one field of Rules as an amount.
type access struct {
	get func(Rules) Amount
	set func(*Rules, Amount)
}

// Of returns the rule's amount among the rules.
func (a access) Of(r Rules) Amount { return a.get(r) }

// Set puts the amount into the rules.
func (a access) Set(r *Rules, to Amount) { a.set(r, to) }

// figure gives access to a field that is a number already. Counts and months are whole:
// what is typed between two is rounded.
func figure[N ~int | ~float64](of func(*Rules) *N) access {
	return scaled(of, 1)
}

// percent gives access to a share of one in hundredths.
func percent(of func(*Rules) *unit.Fraction) access { return scaled(of, 0.01) }

func scaled[N ~int | ~float64](of func(*Rules) *N, one Amount) access {
	return access{
		get: func(r Rules) Amount { return tidy(Amount(*of(&r)) / one) },
		set: func(r *Rules, a Amount) {
			v := a * one
			if half := 0.5; N(half) == 0 { // a whole number cannot hold a half
				v = Amount(math.Round(float64(v)))
			}
			*of(r) = N(v)
		},
	}
}

// span gives access to a duration in its rule's unit.
func span(one time.Duration, of func(*Rules) *time.Duration) access {
	return access{
		get: func(r Rules) Amount { return Amount(*of(&r)) / Amount(one) },
		set: func(r *Rules, a Amount) { *of(r) = time.Duration(math.Round(float64(a) * float64(one))) },
	}
}

// tidy takes the dust off a division: shares are set to a billionth at most.
func tidy(a Amount) Amount { return Amount(math.Round(float64(a)*1e9) / 1e9) }
