package ui

// TrailLine is one trail of the catalogue. Figures that are not known stay empty.
type TrailLine struct {
	Name, URL, Summary string
	Length, Ascent     string // "7.7 km", "240 m"
	Highest, Lowest    string
	Class, Number      string // "moderate", "87": a class never stands without its number
	Shape              string // "out-and-back"
}

func (t TrailLine) Difficulty() Cell {
	if t.Number == "" || t.Class == "" {
		return Cell{}
	}
	return Cell{Text: t.Number + " " + t.Class}
}

func (t TrailLine) Heights() Cell {
	if t.Lowest == "" || t.Highest == "" {
		return Cell{}
	}
	return Cell{Text: t.Lowest + " to " + t.Highest}
}
