package ui

// TrailLine is one trail of a list. Unknown figures are empty.
type TrailLine struct {
	Name, URL, Summary string
	Length, Ascent     string // "7.7 km", "240 m"
	Highest, Lowest    string
	Class, Number      string // "moderate", "87": a class never stands without its number
	Shape              string // "out-and-back"
}

// Difficulty is the class with its number. It never shows one without the other.
func (t TrailLine) Difficulty() Cell {
	if t.Number == "" || t.Class == "" {
		return Cell{}
	}
	return Cell{Text: t.Number + " " + t.Class}
}

// Heights is the lowest and the highest elevation.
func (t TrailLine) Heights() Cell {
	if t.Lowest == "" || t.Highest == "" {
		return Cell{}
	}
	return Cell{Text: t.Lowest + " to " + t.Highest}
}
