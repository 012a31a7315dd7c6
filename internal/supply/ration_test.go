package supply_test

import (
	"fmt"
	"testing"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// armyRow is a row of TB MED 507 / AFPAM 48-152(I) 2003 [F] as printed: limits, then quarts and liters for easy,
// moderate and hard work.
type armyRow struct {
	name          string
	lowF, highF   float64
	lowC          float64
	quarts, litre [3]float64
}

func armyTable() []armyRow {
	return []armyRow{
		{"1 none/white", 78, 81.9, 25.6, [3]float64{0.5, 0.75, 0.75}, [3]float64{0.47, 0.71, 0.71}},
		{"2 green", 82, 84.9, 27.8, [3]float64{0.5, 0.75, 1}, [3]float64{0.47, 0.71, 0.95}},
		{"3 yellow", 85, 87.9, 29.4, [3]float64{0.75, 0.75, 1}, [3]float64{0.71, 0.71, 0.95}},
		{"4 red", 88, 89.9, 31.1, [3]float64{0.75, 0.75, 1}, [3]float64{0.71, 0.71, 0.95}},
		{"5 black", 90, 110, 32.2, [3]float64{1, 1, 1}, [3]float64{0.95, 0.95, 0.95}},
	}
}

var works = []supply.Work{supply.Easy, supply.Moderate, supply.Hard}

func TestArmyTableEveryCell(t *testing.T) {
	for _, row := range armyTable() {
		heats := []unit.Temperature{unit.Fahrenheit(row.lowF), unit.Fahrenheit(row.highF), unit.Celsius(row.lowC)}
		for _, wbgt := range heats {
			for i, w := range works {
				what := fmt.Sprintf("category %s, %s, at %.2f C [F]", row.name, w, wbgt.Celsius())
				cell, listed := supply.Cell(wbgt, w)
				if !listed {
					t.Errorf("%s: not in the table", what)
				}
				near(t, what+" qt/h", cell.USQuartsPerHour(), row.quarts[i], 1e-9)
				near(t, what+" L/h", cell.LitresPerHour(), row.litre[i], 0.005)
				near(t, what+" ration", supply.Ration(wbgt, w).LitresPerHour(), max(cell.LitresPerHour(), 0.5), 1e-9)
			}
		}
	}
}

func TestBelowTheTableTheFloorApplies(t *testing.T) {
	for _, w := range works {
		if _, listed := supply.Cell(25.5, w); listed {
			t.Errorf("25.5 C, %s: in the table", w)
		}
		if got := supply.Ration(25.5, w); got != 0.5 {
			t.Errorf("25.5 C, %s: ration %v, want the floor 0.5 L/h", w, got)
		}
	}
}

func TestNaNHeatIsTheHottestRow(t *testing.T) {
	if got := supply.Ration(unit.Temperature(nan), supply.Hard); got != unit.USQuartPerHour {
		t.Errorf("ration %v, want one quart", got)
	}
}

func TestWorkOfTheArmyExamples(t *testing.T) {
	// TB MED 507's walking examples [F]; the body of 70 kg is our choice, loads are as printed.
	const body = 70 * unit.Kilogram
	slow, quick := 2.5*unit.MilePerHour, 3.5*unit.MilePerHour
	tests := []struct {
		name    string
		load    unit.Mass
		speed   unit.Speed
		terrain supply.Terrain
		want    supply.Work
	}{
		{"2.5 mph, hard surface, under 30 lb", 20 * unit.Pound, slow, road, supply.Easy},
		{"3.5 mph, hard surface, under 40 lb", 30 * unit.Pound, quick, road, supply.Moderate},
		{"2.5 mph, loose sand, no load", 0, slow, supply.LooseSand, supply.Moderate},
		{"3.5 mph, hard surface, 40 lb and more", 70 * unit.Pound, quick, road, supply.Hard},
		{"2.5 mph, loose sand, with load", 40 * unit.Pound, slow, supply.LooseSand, supply.Hard},
	}
	for _, tt := range tests {
		p := supply.Metabolic(body+tt.load, tt.speed, 0, tt.terrain)
		if got := supply.WorkOf(p); got != tt.want {
			t.Errorf("%s: %.0f W is %s, want %s [F]", tt.name, p.Watts(), got, tt.want)
		}
	}
}

func TestWorkOfTheTablesRates(t *testing.T) {
	// TB MED 507's rates [M].
	for i, p := range []unit.Power{250, 425, 600} {
		if got := supply.WorkOf(p); got != works[i] {
			t.Errorf("%v W is %s, want %s [M]", p.Watts(), got, works[i])
		}
	}
	if got := supply.WorkOf(unit.Power(nan)); got != supply.Hard {
		t.Errorf("no number is %s, want hard", got)
	}
}
