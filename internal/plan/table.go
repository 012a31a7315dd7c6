package plan

import (
	"errors"
	"math"
	"slices"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// table holds the heat of a day on a lattice of times and heights. A plan asks for the heat
// at tens of thousands of places and moments, and the balance behind each wet-bulb globe
// temperature takes some five microseconds to solve; so it is solved at the lattice's
// knots and read between them along straight lines.
//
// Error bound, held by a test against the balance itself: 0.3 C from 20 C up, where every
// limit lies (the worst of 250 000 random moments was 0.24 C, beside sunrise), and 0.5 C
// below, half of the model's own error (Liljegren et al. 2008: 1 C). Air that comes within 5 C
// of its dew point counts to the second. The wind's stability class, which jumps in the tables
// (US EPA 2000), changes over five minutes here.
type table struct {
	from   time.Time
	levels []unit.Length // ascending; the trailhead is one of them
	home   int           // the trailhead's level
	rows   int
	nodes  []node // row by row: a row for each step of time, a node for each level
}

// node is the heat at one moment and height. What is felt is what the house ladder judges.
type node struct{ wbgt, felt unit.Temperature }

// spot is a height's place between the levels of a table.
type spot struct {
	level int
	share float64 // of the way to the next level
}

const (
	// House judgement: in five minutes the air warms by a third of a kelvin at the most.
	rowStep    = 5 * time.Minute
	rowSeconds = float64(rowStep / time.Second)
	// House judgement: the span of rows that is tried with its ends and its middle alone.
	// Spans begin on the whole hour, so that every table of a day holds the same heat.
	spanRows = 12
	// A span whose middle is farther than this off its straight line is halved. House
	// judgement: a third of the bound, since the line can be farther off elsewhere.
	spanOff unit.Temperature = 0.035
	// House judgement: up to here the heat falls with height along a straight line.
	levelStep = 600 * unit.Metre
)

// newTable fills the lattice from a whole hour before from to after to.
func newTable(d day, from, to time.Time, lowest, highest unit.Length) (table, error) {
	tb := table{from: wholeHour(from), levels: levels(lowest, d.trailhead, highest)}
	tb.home = slices.Index(tb.levels, d.trailhead)
	spans := int(math.Ceil(float64(to.Sub(tb.from)) / float64(spanRows*rowStep)))
	tb.rows = max(1, spans)*spanRows + 1
	tb.nodes = make([]node, tb.rows*len(tb.levels))
	for row := range tb.rows {
		tb.feel(d, row)
	}
	if err := tb.solve(d, 0); err != nil {
		return table{}, err
	}
	for row := 0; row < tb.rows-1; row += spanRows {
		end := row + spanRows
		if err := tb.solve(d, end); err != nil {
			return table{}, err
		}
		if err := tb.refine(d, row, end, true); err != nil {
			return table{}, err
		}
	}
	return tb, nil
}

// refine solves the middle of a span and halves the span where it was not straight. Once
// the difference between the levels runs straight, only the trailhead's is solved on.
func (tb table) refine(d day, from, to int, all bool) error {
	if to-from <= 1 {
		return nil
	}
	middle := (from + to) / 2
	if err := tb.solveMiddle(d, from, middle, to, all); err != nil {
		return err
	}
	turns := d.turns(tb.time(from), tb.time(to))
	if tb.straight(from, middle, to) && !turns {
		tb.between(from, middle)
		tb.between(middle, to)
		return nil
	}
	all = all && (turns || !tb.parallel(from, middle, to))
	return errors.Join(tb.refine(d, from, middle, all), tb.refine(d, middle, to, all))
}

// solveMiddle solves every level, or the trailhead's alone and keeps the others as far from
// it as they are at the ends.
func (tb table) solveMiddle(d day, from, middle, to int, all bool) error {
	if all {
		return tb.solve(d, middle)
	}
	at, err := d.exact(tb.time(middle), d.trailhead)
	if err != nil {
		return err
	}
	share := float64(middle-from) / float64(to-from)
	for i := range tb.levels {
		tb.node(middle, i).wbgt = at + toward(tb.above(from, i), tb.above(to, i), share)
	}
	return nil
}

func (tb table) node(row, level int) *node { return &tb.nodes[row*len(tb.levels)+level] }

// above is how far a level's heat is above the trailhead's.
func (tb table) above(row, level int) unit.Temperature {
	return tb.node(row, level).wbgt - tb.node(row, tb.home).wbgt
}

// straight reports whether the middle row lies near the line between two others.
func (tb table) straight(from, middle, to int) bool {
	return tb.near(from, middle, to, func(row, level int) unit.Temperature { return tb.node(row, level).wbgt })
}

// parallel reports whether the levels' differences from the trailhead do.
func (tb table) parallel(from, middle, to int) bool { return tb.near(from, middle, to, tb.above) }

func (tb table) near(from, middle, to int, of func(row, level int) unit.Temperature) bool {
	share := float64(middle-from) / float64(to-from)
	for i := range tb.levels {
		if off := toward(of(from, i), of(to, i), share) - of(middle, i); off > spanOff || off < -spanOff {
			return false
		}
	}
	return true
}

// House judgement: the air's course has a kink a few minutes before sunrise and one at
// sunset, and the light changes fastest around both.
const turning = 20 * time.Minute

// turns reports whether a span lies around sunrise or sunset. It compares hours of the
// day, since a long walk can run past midnight.
func (d day) turns(from, to time.Time) bool {
	for _, at := range []time.Time{d.light.Rise, d.light.Set} {
		since := (from.Sub(at.Add(turning))%day24 + day24) % day24
		if !at.IsZero() && (since == 0 || since > day24-2*turning-to.Sub(from)) {
			return true
		}
	}
	return false
}

const day24 = 24 * time.Hour

// levels puts the trailhead between the lowest and the highest, for there the lapse of the
// air changes, and cuts what is longer than a step.
func levels(lowest, trailhead, highest unit.Length) []unit.Length {
	ends := []unit.Length{min(lowest, trailhead), trailhead, max(highest, trailhead)}
	out := ends[:1:1]
	for _, end := range slices.Compact(ends)[1:] {
		from := out[len(out)-1]
		n := math.Ceil(float64((end - from) / levelStep))
		for i := 1.0; i < n; i++ {
			out = append(out, from+(end-from)*unit.Length(i/n))
		}
		out = append(out, end)
	}
	return out
}

func (tb table) time(row int) time.Time { return tb.from.Add(time.Duration(row) * rowStep) }

// seconds counts from the table's first row.
func (tb table) seconds(t time.Time) float64 { return t.Sub(tb.from).Seconds() }

// moment is the inverse of seconds.
func (tb table) moment(seconds float64) time.Time {
	return tb.from.Add(time.Duration(seconds * float64(time.Second)))
}

// feel fills a row's temperatures as the house ladder feels them, which cost little.
func (tb table) feel(d day, row int) {
	w := d.weather(tb.time(row))
	for i, level := range tb.levels {
		air, humidity := d.shade(w, level)
		tb.nodes[row*len(tb.levels)+i].felt = heat.Felt(air, humidity)
	}
}

// solve fills a row's wet-bulb globe temperatures.
func (tb table) solve(d day, row int) error {
	for i, level := range tb.levels {
		wbgt, err := d.exact(tb.time(row), level)
		if err != nil {
			return err
		}
		tb.nodes[row*len(tb.levels)+i].wbgt = wbgt
	}
	return nil
}

// between draws straight lines over the rows from one solved row to the next.
func (tb table) between(from, to int) {
	n := len(tb.levels)
	for row := from + 1; row < to; row++ {
		share := unit.Temperature(row-from) / unit.Temperature(to-from)
		for i := range n {
			a, b := tb.nodes[from*n+i].wbgt, tb.nodes[to*n+i].wbgt
			tb.nodes[row*n+i].wbgt = a + (b-a)*share
		}
	}
}

// spot finds a height among the levels; heights beyond them count as the nearest.
func (tb table) spot(height unit.Length) spot {
	for i := len(tb.levels) - 2; i >= 0; i-- {
		if a, b := tb.levels[i], tb.levels[i+1]; height >= a {
			return spot{i, min(1, float64((height-a)/(b-a)))}
		}
	}
	return spot{}
}

// at reads the table at seconds from its first row; times beyond it count as the nearest.
func (tb *table) at(seconds float64, s spot) node {
	at := max(0, seconds*(1/rowSeconds))
	row := min(int(at), tb.rows-2)
	share := unit.Temperature(min(1, at-float64(row)))
	n := len(tb.levels)
	a := tb.level(row*n+s.level, s.share)
	b := tb.level(row*n+n+s.level, s.share)
	return node{a.wbgt + (b.wbgt-a.wbgt)*share, a.felt + (b.felt-a.felt)*share}
}

// level reads between the node at an index and the one above it.
func (tb *table) level(i int, share float64) node {
	a := tb.nodes[i]
	if share == 0 {
		return a
	}
	b, f := tb.nodes[i+1], unit.Temperature(share)
	return node{a.wbgt + (b.wbgt-a.wbgt)*f, a.felt + (b.felt-a.felt)*f}
}
