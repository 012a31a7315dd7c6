package hikes

import (
	"math"
	"strconv"

	"saltbush/internal/format"
	"saltbush/internal/heat"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ForecastForm asks for the day's weather. It shows what is stored in the viewer's units.
func ForecastForm(u format.System) kit.Questions[plan.Forecast] {
	us := u == format.US
	form := kit.Questions[plan.Forecast]{
		{
			Field: ui.Field{
				Name: "temperature_unit", Label: "Temperatures in", Kind: ui.KindSelect, Short: true,
				Options: []ui.Option{
					{Value: "C", Label: "degrees C", Selected: !us},
					{Value: "F", Label: "degrees F", Selected: us},
				},
			},
			Get: func(plan.Forecast) []string { return []string{pick(us, "F", "C")} },
		},
		temperature(us, ui.Field{Name: "low", Label: "Low of the day", Short: true},
			func(f *plan.Forecast) *unit.Temperature { return &f.Low }, "Give the day's lowest temperature."),
		temperature(us, ui.Field{Name: "high", Label: "High of the day", Short: true},
			func(f *plan.Forecast) *unit.Temperature { return &f.High }, "Give the day's highest temperature."),
		dewPoint(us),
		kit.ReadElsewhere[plan.Forecast](ui.Field{
			Name: "humidity", Label: "Humidity at the high", Kind: ui.KindNumber, Short: true, Optional: true,
			Unit: "%",
		}),
	}
	return append(append(form, windAndCloud(us)...), officialQuestions()...)
}

func pick(us bool, american, metric string) string {
	if us {
		return american
	}
	return metric
}

// temperature asks for a temperature in the unit that the form names.
func temperature(
	us bool, field ui.Field, at func(*plan.Forecast) *unit.Temperature, message string,
) kit.Question[plan.Forecast] {
	field.Kind = ui.KindNumber
	return kit.Question[plan.Forecast]{
		Field: field,
		Set: func(f kit.Form, to *plan.Forecast) {
			*at(to) = f.Temperature(field.Name, "temperature_unit", message)
		},
		Get: func(stored plan.Forecast) []string {
			if us {
				return oneDecimal(at(&stored).Fahrenheit())
			}
			return oneDecimal(at(&stored).Celsius())
		},
	}
}

// dewPoint asks for the dew point, or else the humidity at the hottest hour.
func dewPoint(us bool) kit.Question[plan.Forecast] {
	q := temperature(us, ui.Field{Name: "dew_point", Label: "Dew point", Short: true, Optional: true},
		func(f *plan.Forecast) *unit.Temperature { return &f.DewPoint },
		"Give the dew point, or the humidity at the hottest hour.")
	read := q.Set
	q.Set = func(f kit.Form, to *plan.Forecast) {
		if f.Text("humidity") == "" || f.Text("dew_point") != "" {
			read(f, to)
			return
		}
		h := unit.Percent(f.Number("humidity", "Give the humidity in percent."))
		if !(h >= 1 && h <= 100) {
			f.Faults.Add("humidity", "Give the humidity in percent, 1 to 100.")
			return
		}
		to.DewPoint = heat.DewPoint(to.High, h.Fraction())
	}
	return q
}

func windAndCloud(us bool) kit.Questions[plan.Forecast] {
	return kit.Questions[plan.Forecast]{
		{
			Field: ui.Field{Name: "wind", Label: "Wind by day", Kind: ui.KindNumber, Short: true},
			Set: func(f kit.Form, to *plan.Forecast) {
				to.Wind = f.Speed("wind", "wind_unit", "Give the daytime wind; 0 for calm.")
			},
			Get: func(stored plan.Forecast) []string {
				if us {
					return oneDecimal(stored.Wind.MilesPerHour())
				}
				return oneDecimal(stored.Wind.KilometresPerHour())
			},
		},
		{
			Field: ui.Field{Name: "wind_unit", Label: "Wind in", Kind: ui.KindSelect, Short: true, Options: []ui.Option{
				{Value: "km/h", Label: "km/h", Selected: !us},
				{Value: "mph", Label: "mph", Selected: us},
				{Value: "m/s", Label: "m/s"},
				{Value: "kn", Label: "knots"},
			}},
			Get: func(plan.Forecast) []string { return []string{pick(us, "mph", "km/h")} },
		},
		{
			Field: ui.Field{Name: "cloud", Label: "Sky covered by cloud", Kind: ui.KindNumber, Short: true, Unit: "%"},
			Set: func(f kit.Form, to *plan.Forecast) {
				typed := f.Number("cloud", "Give the share of sky covered in percent; 0 for clear.")
				to.Cloud = unit.Percent(typed).Fraction()
			},
			Get: func(stored plan.Forecast) []string { return oneDecimal(float64(stored.Cloud.Percent())) },
		},
	}
}

// officialQuestions ask for what the leader looked up. An empty answer is unknown.
func officialQuestions() kit.Questions[plan.Forecast] {
	return kit.PartOf(func(f *plan.Forecast) *plan.Official { return &f.Official }, kit.Questions[plan.Official]{
		ifTyped(ui.Field{
			Name: "heat_level", Label: "Official heat level", Kind: ui.KindSelect, Short: true, Options: heatLevels(),
		}, func(o *plan.Official) **plan.HeatLevel { return &o.HeatLevel },
			func(f kit.Form) plan.HeatLevel {
				return plan.HeatLevel(f.Whole("heat_level", "Choose a level, 0 to 4."))
			},
			func(level plan.HeatLevel) []string { return []string{strconv.Itoa(int(level))} }),
		kit.Line(ui.Field{
			Name: "warning", Label: "Warning in force", Kind: ui.KindSelect, Short: true, Options: []ui.Option{
				{Value: "", Label: "not looked up"},
				{Value: "none", Label: "no"},
				{Value: "in force", Label: "yes"},
			},
		}, func(o *plan.Official) *plan.WarningState { return &o.Warning }),
		kit.Line(ui.Field{Name: "warning_text", Label: "The warning in its own words", Optional: true},
			func(o *plan.Official) *string { return &o.WarningText }),
		ifTyped(ui.Field{
			Name: "storm", Label: "Chance of storm or flood", Kind: ui.KindNumber, Short: true, Optional: true,
			Unit: "%",
		}, func(o *plan.Official) **unit.Fraction { return &o.Storm },
			func(f kit.Form) unit.Fraction {
				return unit.Percent(f.Number("storm", "Give the chance in percent.")).Fraction()
			},
			func(chance unit.Fraction) []string { return oneDecimal(float64(chance.Percent())) }),
		ifTyped(ui.Field{
			Name: "air_quality", Label: "Air quality index", Kind: ui.KindNumber, Short: true, Optional: true,
		}, func(o *plan.Official) **plan.AirQuality { return &o.AirQuality },
			func(f kit.Form) plan.AirQuality {
				return plan.AirQuality(f.Whole("air_quality", "Give the index as a whole number."))
			},
			func(index plan.AirQuality) []string { return []string{strconv.Itoa(int(index))} }),
	})
}

// ifTyped asks for something that may be unknown: an empty answer is nil.
func ifTyped[V any](
	field ui.Field, at func(*plan.Official) **V, read func(kit.Form) V, write func(V) []string,
) kit.Question[plan.Official] {
	return kit.Question[plan.Official]{
		Field: field,
		Set: func(f kit.Form, to *plan.Official) {
			if f.Text(field.Name) != "" {
				v := read(f)
				*at(to) = &v
			}
		},
		Get: func(stored plan.Official) []string {
			if v := *at(&stored); v != nil {
				return write(*v)
			}
			return nil
		},
	}
}

func heatLevels() []ui.Option {
	return []ui.Option{
		{Value: "", Label: "not looked up"},
		{Value: "0", Label: "0, little"},
		{Value: "1", Label: "1, minor"},
		{Value: "2", Label: "2, moderate"},
		{Value: "3", Label: "3, major"},
		{Value: "4", Label: "4, extreme"},
	}
}

// oneDecimal writes a figure with at most one decimal.
func oneDecimal(v float64) []string {
	return []string{strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)}
}
