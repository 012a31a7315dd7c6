package format

// Line is one label with its answer, for slips of facts.
type Line struct {
	Label, Value, Note string
	URL                string // the value is a link where set
}
