package trail

import (
	"regexp"
	"strings"

	"saltbush/internal/text"
)

// TitleFor returns a hike's title as typed, or else the trail's name.
func TitleFor(typed string, t Trail) string {
	if typed = text.Line(typed); typed != "" {
		return typed
	}
	return t.Name
}

// TitleAfter returns the title of a hike that moved to another trail. It replaces the old
// trail's name; a title without it stays as it is.
func TitleAfter(title string, from, to Trail) string {
	name := strings.Join(strings.Fields(from.Name), " ")
	if name == "" {
		return title
	}
	words := `(?i)(^|[^\pL\pN])` + regexp.QuoteMeta(name) + `($|[^\pL\pN])`
	return regexp.MustCompile(words).ReplaceAllString(title, "${1}"+strings.ReplaceAll(to.Name, "$", "$$")+"${2}")
}
