package chart

import (
	"slices"
	"strconv"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// DrawnPoint is a place on the way that a drawing numbers. Along is its distance from the start of
// the whole walk.
type DrawnPoint struct {
	Kind, Name string
	Along      unit.Length
}

// DrawnMark is a numbered mark. Positions are percentages of the width and height, so that a mark
// keeps its size where the drawing shrinks. On a map At is the mark's own position and Of the place
// that it points to.
type DrawnMark struct {
	Number   string
	Form     string // "round", "filled" or "cut"
	AtX, AtY string
	OfX, OfY string
}

// DrawnRow is one row of marks above a drawing. Through holds the positions of marks of the rows
// above, whose lines run down through this row.
type DrawnRow struct {
	Marks   []DrawnMark
	Through []string
}

// DrawnKey is one line of a legend: a symbol or a number, and its text.
type DrawnKey struct {
	Symbol string // "" for a number
	Mark   DrawnMark
	Text   string
	Note   string
}

// formOf returns the outline of a mark: bail-outs and goals have their own.
func formOf(kind string) string {
	switch kind {
	case "bail-out":
		return "cut"
	case "goal":
		return "filled"
	}
	return "round"
}

// alongTheWay sorts points by their distance, so that both drawings of a walk number them alike.
func alongTheWay(points []DrawnPoint) []DrawnPoint {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b DrawnPoint) int {
		switch {
		case a.Along < b.Along:
			return -1
		case a.Along > b.Along:
			return 1
		}
		return 0
	})
	return sorted
}

func pointKeys(points []DrawnPoint, sys format.System) []DrawnKey {
	var keys []DrawnKey
	for i, p := range points {
		text := p.Name
		if text == "" {
			text = "unnamed point"
		}
		keys = append(keys, DrawnKey{
			Mark: DrawnMark{Number: strconv.Itoa(i + 1), Form: formOf(p.Kind)},
			Text: text, Note: kindAt(p, sys),
		})
	}
	return keys
}

func kindAt(p DrawnPoint, sys format.System) string {
	if p.Kind == "" {
		return format.Length(p.Along, sys)
	}
	return p.Kind + ", " + format.Length(p.Along, sys)
}

// Our judgment: on a phone of 360 px a scale is about 270 px wide, and two marks of 22 px need 25
// px from center to center.
const rowSpacing = 25.0 / 270

// inRows places marks above a scale in rows, as low as they fit without touching. Shares are
// positions from 0 to 1. The first row returned is the highest.
func inRows(marks []DrawnMark, shares []float64) []DrawnRow {
	var taken [][]float64
	var rows []DrawnRow
	for i, m := range marks {
		r := freeRow(taken, shares[i])
		if r == len(taken) {
			taken, rows = append(taken, nil), append(rows, DrawnRow{})
		}
		taken[r] = append(taken[r], shares[i])
		m.AtX = ui.PercentOf(shares[i])
		rows[r].Marks = append(rows[r].Marks, m)
		for below := range r {
			rows[below].Through = append(rows[below].Through, m.AtX)
		}
	}
	slices.Reverse(rows)
	return rows
}

func freeRow(taken [][]float64, share float64) int {
	for r, row := range taken {
		free := !slices.ContainsFunc(row, func(other float64) bool {
			return share-other < rowSpacing && other-share < rowSpacing
		})
		if free {
			return r
		}
	}
	return len(taken)
}

// keyIsHidden reports whether screen readers skip a symbol, because its text says everything. They
// read numbers, because other texts refer to them.
func keyIsHidden(k DrawnKey) string {
	if k.Symbol == "" {
		return "false"
	}
	return "true"
}

// unbroken keeps a figure and its unit on one line.
func unbroken(figure string) string { return strings.ReplaceAll(figure, " ", "\u00a0") }
