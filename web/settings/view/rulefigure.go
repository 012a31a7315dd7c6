package view

import (
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/internal/unit"
)

// RuleFigure writes the figure of a rule without its unit, temperatures and loads to a tenth.
func RuleFigure(u rules.RuleUnit, a rules.Amount, sys format.System) string {
	v := float64(a)
	switch {
	case u == rules.Degrees && sys == format.US:
		return amountBare(unit.Celsius(v).Fahrenheit())
	case u == rules.DegreesMore && sys == format.US:
		return amountBare(v * 1.8)
	case u == rules.Kilograms && sys == format.US:
		return amountBare((unit.Mass(v) * unit.Kilogram).Pounds())
	case u == rules.Degrees || u == rules.DegreesMore || u == rules.Kilograms:
		return amountBare(v)
	}
	return a.String()
}

// RuleAmount converts a figure in the unit of RuleFigure.
func RuleAmount(u rules.RuleUnit, typed float64, sys format.System) rules.Amount {
	switch {
	case u == rules.Degrees && sys == format.US:
		return rules.Amount(unit.Fahrenheit(typed).Celsius())
	case u == rules.DegreesMore && sys == format.US:
		return rules.Amount(typed / 1.8)
	case u == rules.Kilograms && sys == format.US:
		return rules.Amount((unit.Mass(typed) * unit.Pound).Kilograms())
	}
	return rules.Amount(typed)
}

// RuleWords writes the figure of a rule with its unit.
func RuleWords(u rules.RuleUnit, a rules.Amount, sys format.System) string {
	if u == rules.CalendarMon {
		return u.Words(a)
	}
	return strings.TrimSpace(RuleFigure(u, a, sys) + " " + ruleUnit(u, sys))
}

func ruleUnit(u rules.RuleUnit, sys format.System) string {
	switch u {
	case rules.Degrees, rules.DegreesMore:
		return format.TemperatureUnit(sys)
	case rules.Kilograms:
		if sys == format.US {
			return "lb"
		}
		return "kg"
	case rules.InHundred:
		return "%"
	case rules.LitresAnHour:
		return "L/h"
	}
	return string(u)
}

// amountBare writes a number to a tenth, without a trailing zero.
func amountBare(v float64) string {
	return strings.TrimSuffix(strings.TrimSpace(format.Amount(v, 1, "")), ".0")
}
