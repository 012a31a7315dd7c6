package ui

import (
	"strings"

	"github.com/a-h/templ"

	"saltbush/internal/format"
)

// lineURL allows geo: addresses, which templ would drop. They are made of figures only.
func lineURL(l format.Line) templ.SafeURL {
	if strings.HasPrefix(l.URL, "geo:") {
		return templ.SafeURL(l.URL)
	}
	return templ.URL(l.URL)
}
