package ui

import (
	"strings"

	"github.com/a-h/templ"

	"saltbush/internal/format"
)

// lineURL lets places on a map through, which are made from figures alone.
func lineURL(l format.Line) templ.SafeURL {
	if strings.HasPrefix(l.URL, "geo:") {
		return templ.SafeURL(l.URL)
	}
	return templ.URL(l.URL)
}
