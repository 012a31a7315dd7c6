package walk

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// Munter returns the time of the rule that mountain guides know by that name, from memory:
// a second opinion only. The rise is negative going down.
func Munter(level, rise unit.Length) time.Duration {
	// W. Munter, from memory: a unit is a kilometre along or 100 m of height; 4 units an hour
	// on the level and up, 6 down.
	if rise < 0 {
		return hours((level.Kilometres() - rise.Metres()/100) / 6)
	}
	return hours((level.Kilometres() + rise.Metres()/100) / 4)
}

// CanyonReturn returns the time to climb out of a canyon from the time down into it: a second
// opinion for walks that go down first, where the way back is the hard part.
func CanyonReturn(down time.Duration) time.Duration {
	// NPS, canyon hiking: uphill takes about twice as long as downhill, a third of the time in
	// and two thirds out.
	return 2 * down
}

// Tranter returns Naismith's time adjusted for fitness, the minutes that somebody needs to
// climb 300 m over 800 m of ground, by Tranter's corrections. It is an adjustment of a
// second opinion, FROM MEMORY of the usual table: no plan is made from it.
//
// Between two fitnesses the slower one holds, between two times a straight line. A heavy
// pack or bad going drops one row. It refuses what the table calls beyond that party.
func Tranter(naismith, fitness time.Duration, heavy bool) (time.Duration, error) {
	row, err := tranterRow(fitness, heavy)
	if err != nil {
		return 0, err
	}
	at := tranterHours()
	asked := naismith.Hours()
	if !(asked >= at[0] && asked <= at[len(at)-1]) {
		return 0, fmt.Errorf("time %s by Naismith is not between %g and %g h", naismith, at[0], at[len(at)-1])
	}
	for i, needs := range row.hours {
		switch {
		case asked > at[i]:
			continue
		case i == 0:
			return hours(needs), nil
		}
		share := (asked - at[i-1]) / (at[i] - at[i-1])
		return hours(row.hours[i-1] + share*(needs-row.hours[i-1])), nil
	}
	return 0, fmt.Errorf("time %s by Naismith is beyond a party of fitness %s", naismith, row.fitness)
}

type tranter struct {
	fitness time.Duration
	hours   []float64 // by tranterHours; what is missing is beyond that party
}

// tranterHours are the columns of Tranter's table: hours by Naismith.
func tranterHours() [11]float64 { return [11]float64{2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14} }

// tranterTable is Tranter's corrections, from memory of the usual table.
func tranterTable() [6]tranter {
	return [6]tranter{
		{15 * time.Minute, []float64{1, 1.5, 2, 2.75, 3.5, 4.5, 5.5, 6.75, 7.75, 10, 12.5}},
		{20 * time.Minute, []float64{1.25, 2.25, 3.25, 4.5, 5.5, 6.5, 7.75, 8.75, 10, 12.5, 15}},
		{25 * time.Minute, []float64{1.5, 3, 4.25, 5.5, 7, 8.5, 10, 11.5, 13.25, 15, 17.5}},
		{30 * time.Minute, []float64{2, 3.5, 5, 6.75, 8.5, 10.5, 12.5, 14.5}},
		{40 * time.Minute, []float64{2.75, 4.25, 5.75, 7.5, 9.5, 11.5}},
		{50 * time.Minute, []float64{3.25, 4.75, 6.5, 8.5}},
	}
}

func tranterRow(fitness time.Duration, heavy bool) (tranter, error) {
	table := tranterTable()
	if fitness <= 0 {
		return tranter{}, fmt.Errorf("fitness %s is not above 0", fitness)
	}
	for i, row := range table {
		if fitness > row.fitness {
			continue
		}
		if !heavy {
			return row, nil
		}
		if i+1 < len(table) {
			return table[i+1], nil
		}
		break
	}
	return tranter{}, fmt.Errorf("fitness %s is beyond the table's %s", fitness, table[len(table)-1].fitness)
}
