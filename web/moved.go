package web

import (
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"
)

// moved lists addresses that stood in mail, in bookmarks or on paper and have a new one.
// They answer for good: a link in a mail has no end.
func moved() map[string]string {
	return map[string]string{
		"/told/{secret}":                           "/updates/{secret}",
		"/kept":                                    "/retention",
		"/people/bring":                            "/people/import",
		"/people/bring/columns.csv":                "/people/import/columns.csv",
		"/hikes/{hike}/sign-ups/bring":             "/hikes/{hike}/sign-ups/import",
		"/hikes/{hike}/sign-ups/bring/columns.csv": "/hikes/{hike}/sign-ups/import/columns.csv",
	}
}

// redirectMoved answers every moved address with its new one, whatever the method. It opens
// nothing itself: the new address asks what it always asks.
func redirectMoved(r chi.Router) {
	for from, to := range moved() {
		r.HandleFunc(from, func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, filledIn(to, r), http.StatusPermanentRedirect)
		})
	}
}

// filledIn puts what the request's address named into another pattern.
func filledIn(pattern string, r *http.Request) string {
	params := chi.RouteContext(r.Context()).URLParams
	for i, key := range params.Keys {
		pattern = strings.ReplaceAll(pattern, "{"+key+"}", params.Values[i])
	}
	if r.URL.RawQuery != "" {
		pattern += "?" + r.URL.RawQuery
	}
	return pattern
}
