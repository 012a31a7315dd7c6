package format

// Line is one fact of a list: a label and its value, and a note on it.
type Line struct {
	Label, Value, Note string
	URL                string // where the value links to; empty if it is no link
}
