package web

import (
	"net"
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
	// Tries is how many requests a minute one address may make, 0 for no limit.
	Tries int
}

// guard checks the policy before the handler runs. Roles are enforced here and nowhere else.
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

// limited returns the middleware that bounds how often one address may ask. Behind a proxy all
// requests come from the proxy's address, so that the limit holds for everybody together.
func limited(route Route) []func(http.Handler) http.Handler {
	if route.Tries == 0 {
		return nil
	}
	return []func(http.Handler) http.Handler{httprate.LimitBy(route.Tries, time.Minute, byPeer)}
}

// byPeer counts by the address of the connection, which no header can fake. Of an IPv6 address it takes the /64.
func byPeer(r *http.Request) (string, error) {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	return httprate.CanonicalizeIP(host), nil
}
