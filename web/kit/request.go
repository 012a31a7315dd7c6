package kit

import (
	"context"
	"net/http"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/signup"
)

// Request is what is known of a request: who asks, and what its address and links name.
// WithViewer makes it and Admit fills it in; handlers read it.
type Request struct {
	Viewer  account.Viewer
	Hike    *hike.Hike       // that the address names
	Place   *signup.SignUp   // that the private link in the address opens
	DayLink *account.DayLink // for the hike, kept by the browser
}

type requestKey struct{}

// withRequest returns the request with what is known of it.
func withRequest(r *http.Request, known *Request) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), requestKey{}, known))
}

// RequestOf returns what is known of a request: nothing before WithViewer.
func RequestOf(r *http.Request) *Request {
	if known, ok := r.Context().Value(requestKey{}).(*Request); ok {
		return known
	}
	return &Request{}
}

// ViewerOf returns who asks.
func ViewerOf(r *http.Request) account.Viewer { return RequestOf(r).Viewer }

// HikeIn returns the hike that the address names. It panics on routes without one.
func HikeIn(r *http.Request) hike.Hike { return *RequestOf(r).Hike }

// PlaceIn returns the sign-up that the private link opens. It panics on routes without one.
func PlaceIn(r *http.Request) signup.SignUp { return *RequestOf(r).Place }

// NameOf returns the name under which the viewer acts.
func NameOf(r *http.Request) string {
	if l, ok := dayLinkIn(r); ok {
		return l.Signature()
	}
	a, _ := ViewerOf(r).Account()
	return a.Name
}

// dayLinkIn returns the link for the day by which the viewer came. It is false for those who
// have signed in.
func dayLinkIn(r *http.Request) (account.DayLink, bool) {
	known := RequestOf(r)
	if _, signedIn := known.Viewer.Account(); signedIn || known.DayLink == nil {
		return account.DayLink{}, false
	}
	return *known.DayLink, true
}

// SecretIn returns the secret of the private link in the address.
func SecretIn(r *http.Request) string { return chi.URLParam(r, "secret") }

// PersonIn returns the ID of the sign-up that the address names.
func PersonIn(r *http.Request) string { return chi.URLParam(r, "person") }
