package web

import (
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"
)

// moved lists old addresses, which stand in mails, in bookmarks and on paper, with their new ones.
// They are answered for good, because a mail has no end.
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

// redirectMoved redirects every moved address, whatever the method. The new address checks the
// request as always.
func redirectMoved(r chi.Router) {
	for from, to := range moved() {
		r.HandleFunc(from, func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, filledIn(to, r), http.StatusPermanentRedirect)
		})
	}
}

// filledIn fills the parameters of the request's address into another pattern.
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
