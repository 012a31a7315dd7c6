package chart

import (
	"fmt"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/web/ui"
)

// YearDrawing is whether a trail may be led, months down and hours across: ready
// coordinates and words. Words is all that is shown where there is nothing to draw.
type YearDrawing struct {
	Words       string
	Title, Desc string
	Cells       []YearCell
	Blank       []YearCell // months that are not known
	Hours, Up   []DrawnTick
	Signs       []DrawnKey // the answers by their patterns
	Letters     []YearSign // what limits, in letters
}

// YearCell is one start. Decision is "go", "change" or "cancel" and chooses its pattern.
type YearCell struct{ X, Y, Width, Height, MiddleX, MiddleY, Decision, Letter string }

// NewYearDrawing draws a year by the trailhead's wall clock.
func NewYearDrawing(y plan.YearPlan) YearDrawing {
	hours := YearHours(y)
	if len(hours) == 0 {
		return YearDrawing{Words: "No month has normals, so there is no year to draw."}
	}
	d := YearDrawing{Title: "When the trail may be led, by month and hour of the start",
		Desc: describeYear(y), Signs: yearKeys(), Letters: yearLettersUsed(y)}
	g := yearGrid{rows: len(y.Months), columns: len(hours)}
	for i, h := range hours {
		// House judgement: every third hour has room for its figure on a phone.
		if h%3 == 0 {
			d.Hours = append(d.Hours, DrawnTick{At: ui.PercentOf(float64(i) / float64(g.columns)),
				Label: fmt.Sprintf("%02d", h), Anchor: "middle"})
		}
	}
	for row, m := range y.Months {
		d.Up = append(d.Up, DrawnTick{At: ui.PercentOf((float64(row) + 0.5) / float64(g.rows)),
			Label: monthShort(m.Month), Anchor: "end"})
		if !m.Known {
			d.Blank = append(d.Blank, g.whole(row))
		}
		for column, s := range m.Starts {
			d.Cells = append(d.Cells, g.cell(row, column, s))
		}
	}
	return d
}

type yearGrid struct{ rows, columns int }

func (g yearGrid) cell(row, column int, s plan.YearStart) YearCell {
	x, y := float64(column)/float64(g.columns), float64(row)/float64(g.rows)
	wide, high := 1/float64(g.columns), 1/float64(g.rows)
	c := YearCell{X: ui.PercentOf(x), Y: ui.PercentOf(y), Width: ui.PercentOf(wide), Height: ui.PercentOf(high),
		MiddleX: ui.PercentOf(x + wide/2), MiddleY: ui.PercentOf(y + high/2), Decision: yearPattern(s.Answer),
		Letter: SignOfYear(s)}
	if s.Answer == plan.MayBeLed {
		c.Letter = ""
	}
	return c
}

func (g yearGrid) whole(row int) YearCell {
	y, high := float64(row)/float64(g.rows), 1/float64(g.rows)
	return YearCell{X: "0%", Y: ui.PercentOf(y), Width: "100%", Height: ui.PercentOf(high), MiddleX: "50%",
		MiddleY: ui.PercentOf(y + high/2), Letter: format.Unknown}
}

// yearPattern lends the answers the patterns of a start's decisions.
func yearPattern(a plan.Answer) string {
	switch a {
	case plan.MayBeLed:
		return string(plan.Go)
	case plan.WithCare:
		return string(plan.Change)
	}
	return string(plan.Cancel)
}

func yearKeys() []DrawnKey {
	var keys []DrawnKey
	for _, k := range []struct {
		answer plan.Answer
		note   string
	}{
		{plan.MayBeLed, "plain: a plan for such a day passes"},
		{plan.WithCare,
			"ruled aslant, small letter: what the plan warns of, or no more than the house ladder's first step"},
		{plan.Not, "crossed, large letter: the plan says change or cancel"},
	} {
		keys = append(keys, DrawnKey{Symbol: yearPattern(k.answer), Text: string(k.answer), Note: k.note})
	}
	return keys
}

// yearLettersUsed are the letters that the year holds, with their words.
func yearLettersUsed(y plan.YearPlan) []YearSign {
	used := map[string]bool{}
	for _, m := range y.Months {
		for _, s := range m.Starts {
			used[strings.ToLower(SignOfYear(s))] = true
		}
	}
	var signs []YearSign
	for _, s := range YearSigns() {
		if letter, _, two := strings.Cut(s.Sign, " "); two && (used[letter] || used[letter+"'"]) || s.Sign == "'" {
			signs = append(signs, s)
		}
	}
	return signs
}

// describeYear says in words what the drawing shows.
func describeYear(y plan.YearPlan) string {
	var parts []string
	for _, m := range y.Months {
		if !m.Known {
			parts = append(parts, m.Month.String()+": not known.")
			continue
		}
		var runs []string
		for i := 0; i < len(m.Starts); {
			first := i
			for i < len(m.Starts) && m.Starts[i].Answer == m.Starts[first].Answer {
				i++
			}
			runs = append(runs, fmt.Sprintf("%s %02d to %02d", m.Starts[first].Answer, m.Starts[first].At.Hour(),
				m.Starts[i-1].At.Hour()))
		}
		parts = append(parts, m.Month.String()+": "+strings.Join(runs, ", ")+".")
	}
	return strings.Join(parts, " ")
}
