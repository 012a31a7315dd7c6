package supply

import (
	"math"

	"saltbush/internal/unit"
)

// Work is a class of work in the US Army table.
type Work string

// The classes. Easy is 4 km/h on hard ground with a light pack, moderate 5.6 km/h there or
// 4 km/h on loose sand, hard the same with a heavy pack.
const (
	Easy     Work = "easy"
	Moderate Work = "moderate"
	Hard     Work = "hard"
)

// TB MED 507 (2003) works its table at 250, 425 and 600 W (from memory). Our judgment: the limits are halfway
// between.
const (
	moderateFrom unit.Power = (250 + 425) / 2.0
	hardFrom     unit.Power = (425 + 600) / 2.0
)

// WorkOf returns the class with the nearest rate; ties go to the harder one. NaN is hard.
func WorkOf(p unit.Power) Work {
	switch {
	case p < moderateFrom:
		return Easy
	case p < hardFrom:
		return Moderate
	default:
		return Hard
	}
}

// column finds a class in the table. An unknown one counts as hard.
func (w Work) column() int {
	switch w {
	case Easy:
		return 0
	case Moderate:
		return 1
	default:
		return 2
	}
}

// category is one row of the table: quarter quarts of water an hour, by class.
type category struct {
	from   unit.Temperature
	fluids [3]int
}

// TB MED 507 / AFPAM 48-152(I), 2003, table of work, rest and fluid; Montain et al. 1999. Heat-acclimatized, one
// layer of field uniform, four hours and more. Category limits are printed in Fahrenheit and Celsius; a row starts at
// the lower of the two, to be cautious. The minutes of work and rest in each hour are left out.
func categories() [5]category {
	return [5]category{
		{min(unit.Fahrenheit(78), 25.6), [3]int{2, 3, 3}},
		{min(unit.Fahrenheit(82), 27.8), [3]int{2, 3, 4}},
		{min(unit.Fahrenheit(85), 29.4), [3]int{3, 3, 4}},
		{min(unit.Fahrenheit(88), 31.1), [3]int{3, 3, 4}},
		{min(unit.Fahrenheit(90), 32.2), [3]int{4, 4, 4}},
	}
}

// categoryAt returns the row for a wet-bulb globe temperature, and whether it is hot enough to have one. NaN is the
// hottest row.
func categoryAt(wbgt unit.Temperature) (category, bool) {
	rows := categories()
	if math.IsNaN(float64(wbgt)) {
		return rows[len(rows)-1], true
	}
	for i := len(rows) - 1; i >= 0; i-- {
		if wbgt >= rows[i].from {
			return rows[i], true
		}
	}
	return category{}, false
}

// Cell returns the water in the table for a heat and a class, and whether the table goes down to that heat.
func Cell(wbgt unit.Temperature, w Work) (unit.Flow, bool) {
	row, listed := categoryAt(wbgt)
	if !listed {
		return 0, false
	}
	return unit.Flow(row.fluids[w.column()]) * unit.USQuartPerHour / 4, true
}

// Floor is the least ration at any heat. Common practice: half a liter an hour, the low end of NPS advice for canyons
// (half a quart to a quart). The table's half quart is 0.47.
const Floor unit.Flow = 0.5

// Ration returns the water in the table, or Floor where the table is lower or has no row.
func Ration(wbgt unit.Temperature, w Work) unit.Flow {
	cell, _ := Cell(wbgt, w)
	return max(cell, Floor)
}
