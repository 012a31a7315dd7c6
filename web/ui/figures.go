package ui

import "strings"

// OrDash marks a cell that is empty on purpose; an empty text would say "not known".
func OrDash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// Blank makes a figure of text such as "7.7 km" or "200 to 300 kcal an hour": numbers on
// the line, what they count beside. Text of another form stands on the line whole.
func Blank(label, text, note string) FigureText {
	words := strings.Fields(text)
	n := 0
	for n < len(words) && (words[n] == "to" || strings.Trim(words[n], "0123456789.,-") == "") {
		n++
	}
	unit := strings.Join(words[n:], " ")
	if n == 0 || strings.ContainsAny(unit, "0123456789") {
		return FigureText{Label: label, Value: text, Note: note}
	}
	return FigureText{Label: label, Value: strings.Join(words[:n], " "), Unit: unit, Note: note}
}

// NewFigure makes a figure of ready text such as "7.7 km", its number set large.
func NewFigure(label, text, note string) FigureText { return Blank(label, text, note) }
