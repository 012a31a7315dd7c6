package view

import (
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/unit"
)

// RuleFigure writes the bare figure of a rule of the house, to a tenth where it is a
// temperature or a load.
func RuleFigure(u hike.RuleUnit, a hike.Amount, sys format.System) string {
	v := float64(a)
	switch {
	case u == hike.Degrees && sys == format.US:
		return amountBare(unit.Celsius(v).Fahrenheit())
	case u == hike.DegreesMore && sys == format.US:
		return amountBare(v * 1.8)
	case u == hike.Kilograms && sys == format.US:
		return amountBare((unit.Mass(v) * unit.Kilogram).Pounds())
	case u == hike.Degrees || u == hike.DegreesMore || u == hike.Kilograms:
		return amountBare(v)
	}
	return a.String()
}

// RuleAmount reads a figure back that was typed in the unit of RuleFigure.
func RuleAmount(u hike.RuleUnit, typed float64, sys format.System) hike.Amount {
	switch {
	case u == hike.Degrees && sys == format.US:
		return hike.Amount(unit.Fahrenheit(typed).Celsius())
	case u == hike.DegreesMore && sys == format.US:
		return hike.Amount(typed / 1.8)
	case u == hike.Kilograms && sys == format.US:
		return hike.Amount((unit.Mass(typed) * unit.Pound).Kilograms())
	}
	return hike.Amount(typed)
}

// RuleWords writes a rule's figure with its unit.
func RuleWords(u hike.RuleUnit, a hike.Amount, sys format.System) string {
	if u == hike.CalendarMon {
		return u.Words(a)
	}
	return strings.TrimSpace(RuleFigure(u, a, sys) + " " + ruleUnit(u, sys))
}

func ruleUnit(u hike.RuleUnit, sys format.System) string {
	switch u {
	case hike.Degrees, hike.DegreesMore:
		return format.TemperatureUnit(sys)
	case hike.Kilograms:
		if sys == format.US {
			return "lb"
		}
		return "kg"
	case hike.InHundred:
		return "%"
	case hike.LitresAnHour:
		return "L/h"
	}
	return string(u)
}

// amountBare writes a number to a tenth, without a needless zero.
func amountBare(v float64) string {
	return strings.TrimSuffix(strings.TrimSpace(format.Amount(v, 1, "")), ".0")
}
