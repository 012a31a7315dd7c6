package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// table holds the heat of a day on a grid of times and heights. A plan needs the heat at tens of thousands of places
// and moments, and solving the balance behind one wet-bulb globe temperature takes about five microseconds. So the
// balance is solved at grid points and interpolated between them.
//
// Error bound: tableError from 20 C up, where all limits are (the worst of 250 000 random moments was 0.24 C off,
// near sunrise), and coolTableError below, half of the model's own error (Liljegren et al. 2008: 1 C). The second
// also covers air that comes within 5 C of its dew point. The stability class of the wind, which jumps in the
// published tables (US EPA 2000), changes over five minutes here.
type table struct {
	from   time.Time
	levels []unit.Length // ascending; the trailhead is one of them
	home   int           // index of the trailhead's level
	rows   int
	nodes  []node // row by row: a row for each step of time, a node for each level
}

// node is the heat at one moment and height. The ladder judges the felt temperature.
type node struct{ wbgt, felt unit.Temperature }

// spot is where a height lies between the levels of a table.
type spot struct {
	level int
	share float64 // of the way to the next level
}

const (
	// Bounds of the error, checked by a test against the balance itself.
	tableError, coolTableError unit.Temperature = 0.3, 0.5

	// Our judgment: the air warms by at most a third of a kelvin in five minutes.
	rowStep    = 5 * time.Minute
	rowSeconds = float64(rowStep / time.Second)
	// Our judgment: the span of rows that is first tried with its ends and its middle alone. Spans begin on the whole
	// hour, so that every table of a day holds the same heat.
	spanRows = 12
	// A span whose middle is farther than this from its straight line is halved. Our judgment: a ninth of the error
	// bound, since the line can be farther off elsewhere.
	spanOff unit.Temperature = 0.035
	// Our judgment: up to this difference of height the heat falls along a straight line.
	levelStep = 600 * unit.Metre
)

// tableSource is the source of every wet-bulb globe temperature that is read from the table.
var tableSource = fmt.Sprintf("%s; read from a table within %.1f C", heat.WBGTSource, float64(tableError))

// newTable fills the grid from the whole hour before from until after to.
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

// refine solves the middle of a span and halves the span where it is not straight. Once the differences between the
// levels are straight, it solves only the trailhead's level.
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

// solveMiddle solves every level, or only the trailhead's and interpolates the differences of the others from it.
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

// above returns how much a level's heat is above the trailhead's.
func (tb table) above(row, level int) unit.Temperature {
	return tb.node(row, level).wbgt - tb.node(row, tb.home).wbgt
}

// straight reports whether the middle row is near the line between two others.
func (tb table) straight(from, middle, to int) bool {
	return tb.near(from, middle, to, func(row, level int) unit.Temperature { return tb.node(row, level).wbgt })
}

// parallel reports the same of the levels' differences from the trailhead.
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

// Our judgment: the air temperature has a kink a few minutes before sunrise and one at sunset, and the light changes
// fastest around both.
const turning = 20 * time.Minute

// turns reports whether a span touches sunrise or sunset. It compares hours of the day, since a long walk can run past
// midnight.
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

// levels returns the lowest, the trailhead's and the highest height, with more between them where they are farther
// apart than levelStep. The trailhead is one because the lapse rate changes there.
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

// seconds returns a time in seconds from the table's first row.
func (tb table) seconds(t time.Time) float64 { return t.Sub(tb.from).Seconds() }

// moment is the inverse of seconds.
func (tb table) moment(seconds float64) time.Time {
	return tb.from.Add(time.Duration(seconds * float64(time.Second)))
}

// feel fills in a row's felt temperatures, which are cheap.
func (tb table) feel(d day, row int) {
	w := d.weather(tb.time(row))
	for i, level := range tb.levels {
		air, humidity := d.shade(w, level)
		tb.nodes[row*len(tb.levels)+i].felt = heat.Felt(air, humidity)
	}
}

// solve fills in a row's wet-bulb globe temperatures.
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

// between interpolates the rows from one solved row to the next.
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

// spot finds a height among the levels. A height beyond them counts as the nearest.
func (tb table) spot(height unit.Length) spot {
	for i := len(tb.levels) - 2; i >= 0; i-- {
		if a, b := tb.levels[i], tb.levels[i+1]; height >= a {
			return spot{i, min(1, float64((height-a)/(b-a)))}
		}
	}
	return spot{}
}

// at reads the table at seconds from its first row. A time beyond it counts as the nearest.
func (tb *table) at(seconds float64, s spot) node {
	at := max(0, seconds*(1/rowSeconds))
	row := min(int(at), tb.rows-2)
	share := unit.Temperature(min(1, at-float64(row)))
	n := len(tb.levels)
	a := tb.level(row*n+s.level, s.share)
	b := tb.level(row*n+n+s.level, s.share)
	return node{a.wbgt + (b.wbgt-a.wbgt)*share, a.felt + (b.felt-a.felt)*share}
}

// level interpolates between the node at an index and the one above it.
func (tb *table) level(i int, share float64) node {
	a := tb.nodes[i]
	if share == 0 {
		return a
	}
	b, f := tb.nodes[i+1], unit.Temperature(share)
	return node{a.wbgt + (b.wbgt-a.wbgt)*f, a.felt + (b.felt-a.felt)*f}
}
