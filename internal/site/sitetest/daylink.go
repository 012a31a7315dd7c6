package sitetest

import (
	"net/http"
	"net/url"
	"regexp"
)

// MakeDayLink makes a link for the day of hike 1 as its leader, and returns the path. Part is
// what the holder does, such as "sweep" or "on-call".
func (v *Visitor) MakeDayLink(name, part string) (path string) {
	v.t.Helper()
	form := url.Values{"link_name": {name}, "link_part": {part}}
	page := v.Post("/hikes/1/day-links", form).Want(http.StatusCreated)
	path = regexp.MustCompile(`/day/[a-z2-7]{32}`).FindString(page.Body)
	if path == "" {
		v.t.Fatalf("no link for %s: %s", name, page.Text("main"))
	}
	return path
}
