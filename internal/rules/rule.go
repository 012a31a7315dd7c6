package rules

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/unit"
)

// Rule is one row of the table.
type Rule struct {
	Key   string // in forms and in the store
	Group string
	Name  string // as the settings page shows it
	Unit  RuleUnit
	// Default applies until the organization sets its own. Our judgment: beyond Least and Most a figure is more
	// likely a typo than a decision.
	Default, Least, Most Amount
	// Step is how far one tap moves the rule toward caution.
	Step    Amount
	Caution Caution
	// Source says where the default is from.
	Source string
	// field points to the rule's field: an int, a float or a time.Duration.
	field func(*Rules) any
}

// AllRules lists every rule in the order of the settings page.
func AllRules() []Rule { return slices.Clone(table) }

// RuleByKey finds a rule by its key.
func RuleByKey(key string) (Rule, bool) {
	i := slices.IndexFunc(table, func(r Rule) bool { return r.Key == key })
	if i < 0 {
		return Rule{}, false
	}
	return table[i], true
}

// Of returns the rule's amount in a set of rules.
func (r Rule) Of(in Rules) Amount {
	v := reflect.ValueOf(r.field(&in)).Elem()
	if v.CanInt() {
		return Amount(v.Int()) / Amount(r.Unit.span())
	}
	return round(Amount(v.Float())*r.Unit.perOne(), 1e9) // shares to a billionth
}

// Set puts an amount into a set of rules. Counts and months are whole: a fraction is rounded.
func (r Rule) Set(in *Rules, to Amount) {
	v := reflect.ValueOf(r.field(in)).Elem()
	if v.CanInt() {
		v.SetInt(int64(math.Round(float64(to) * float64(r.Unit.span()))))
		return
	}
	v.SetFloat(float64(to / r.Unit.perOne()))
}

// TowardRisk reports whether a change of the rule is less cautious.
func (r Rule) TowardRisk(from, to Amount) bool {
	return (to-from)*Amount(r.Caution) < 0
}

// MoreCautious returns the amount one step toward caution, and false where there is none: the rule has no cautious
// direction, or is at its bound.
func (r Rule) MoreCautious(from Amount) (Amount, bool) {
	to := max(r.Least, min(r.Most, from+r.Step*Amount(r.Caution)))
	return to, to != from
}

// Amount is a figure in the unit of its rule.
type Amount float64

// String writes the bare figure, to a thousandth.
func (a Amount) String() string {
	return strconv.FormatFloat(float64(round(a, 1000)), 'f', -1, 64)
}

// round rounds to a fraction of one.
func round(a, parts Amount) Amount { return Amount(math.Round(float64(a*parts))) / parts }

// Caution is the direction in which a rule becomes more cautious.
type Caution int

// The directions. A rule with neither may be changed without a reason.
const (
	Neither Caution = 0
	Lower   Caution = -1
	Higher  Caution = 1
)

// RuleUnit is the unit in which a rule is set.
type RuleUnit string

// The units of rules. Degrees are Celsius; a difference of temperature is in kelvins.
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

// span returns how many of a whole field's own units an amount of one is: nanoseconds for times.
func (u RuleUnit) span() time.Duration {
	switch u {
	case Minutes:
		return time.Minute
	case Hours:
		return time.Hour
	case Days:
		return Day
	}
	return 1
}

// perOne returns the amount that stands for one in a field of float type.
func (u RuleUnit) perOne() Amount {
	if u == InHundred {
		return 100
	}
	return 1
}

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
