package ui

import "strings"

// OrDash marks a cell that is empty on purpose; an empty text would say "not known".
func OrDash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// NewFigure makes a figure of ready text such as "7.7 km" or "200 to 300 kcal an hour", with
// the number and its unit apart. Text of another form is left whole.
func NewFigure(label, text, note string) FigureText {
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
