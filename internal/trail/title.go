package trail

import (
	"regexp"
	"strings"

	"saltbush/internal/text"
)

// TitleFor is a hike's title as typed, and the trail's name where none was.
func TitleFor(typed string, t Trail) string {
	if typed = text.Line(typed); typed != "" {
		return typed
	}
	return t.Name
}

// TitleAfter is the title of a hike that has moved to another trail: it names the new one
// wherever it named the old one. A title of somebody's own, which names no trail, stands.
func TitleAfter(title string, from, to Trail) string {
	name := strings.Join(strings.Fields(from.Name), " ")
	if name == "" {
		return title
	}
	words := `(?i)(^|[^\pL\pN])` + regexp.QuoteMeta(name) + `($|[^\pL\pN])`
	return regexp.MustCompile(words).ReplaceAllString(title, "${1}"+strings.ReplaceAll(to.Name, "$", "$$")+"${2}")
}
