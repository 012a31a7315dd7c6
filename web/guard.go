package web

import (
	"net/http"
	"time"

	"github.com/go-chi/httprate"

	"saltbush/internal/account"
	"saltbush/web/kit"
)

// Route is one line of the list in routes.go.
type Route struct {
	Method  string
	Pattern string
	// Needs is the action that May is asked about.
	Needs account.Action
	Serve kit.Handler
	// Tries is how often a minute one address may ask; 0 for no limit.
	Tries int
}

// guard asks May before the handler runs: the one place where roles are enforced.
func (s *Server) guard(route Route) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		err := s.Admit(r, route.Needs)
		if err == nil {
			err = route.Serve(w, r)
		}
		if err != nil {
			s.Fail(w, r, err)
		}
	}
}

// limited bounds how often one address may ask. Behind a proxy that address is the
// proxy's, which then limits everybody together: slow for some, safe for all.
func limited(route Route) []func(http.Handler) http.Handler {
	if route.Tries == 0 {
		return nil
	}
	return []func(http.Handler) http.Handler{httprate.LimitByIP(route.Tries, time.Minute)}
}
