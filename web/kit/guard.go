package kit

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// Handler answers one route; an error becomes a page in fail.
type Handler func(w http.ResponseWriter, r *http.Request) error

type contextKey int

const (
	viewerKey contextKey = iota
	hikeKey
	placeKey
	dayKey
)

// Admit loads what the request is about, checks the action against it, and returns the
// request with it.
func (s *Kit) Admit(r *http.Request, needs account.Action) (*http.Request, error) {
	viewer := ViewerOf(r)
	var about account.Subject
	var ended error // of a link for the day that was open once
	if chi.URLParam(r, "hike") != "" {
		h, err := s.hikeOf(r)
		if err != nil {
			return r, err
		}
		about = s.SubjectOf(h)
		r = r.WithContext(context.WithValue(r.Context(), hikeKey, h))
		if r, ended = s.withDayLink(r, h.ID); ended != nil && !endedLink(ended) {
			return r, ended
		}
		viewer = ViewerOf(r)
	}
	if secret := chi.URLParam(r, "secret"); secret != "" && needs != SelfAuthorized {
		place, link, err := s.placeOf(r.Context(), secret)
		if err != nil {
			return r, err
		}
		viewer, about.Place = viewer.WithLink(link), place.ID
		r = r.WithContext(context.WithValue(r.Context(), placeKey, place))
	}
	if needs == SelfAuthorized {
		return r, nil
	}
	err := account.May(viewer, needs, about)
	if ended != nil && errors.Is(err, account.ErrSignIn) {
		err = ended // nobody is asked to sign in who never did
	}
	return r, err
}

// SelfAuthorized marks routes that check their own secret or password: signing in, and
// the link for the first coordinator.
const SelfAuthorized account.Action = ""

func (s *Kit) hikeOf(r *http.Request) (hike.Hike, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "hike"), 10, 64)
	if err != nil {
		return hike.Hike{}, fmt.Errorf("hike %q: %w", chi.URLParam(r, "hike"), fault.ErrNotFound)
	}
	return s.hikes.Hike(r.Context(), ref.Hike(id))
}

func (s *Kit) SubjectOf(h hike.Hike) account.Subject {
	about := account.Subject{Hike: h.ID, Posted: h.State != hike.Draft, Today: h.OnDay(s.Now())}
	for _, m := range h.Staff {
		about.Staff = append(about.Staff, m.Account)
	}
	return about
}

// May asks whether the viewer may do what a page would offer, about the request's hike
// where it has one.
func (s *Kit) May(r *http.Request, a account.Action) bool {
	var about account.Subject
	if h, ok := r.Context().Value(hikeKey).(hike.Hike); ok {
		about = s.SubjectOf(h)
	}
	return account.May(ViewerOf(r), a, about) == nil
}

// placeOf opens a participant's private link.
func (s *Kit) placeOf(ctx context.Context, text string) (signup.SignUp, account.Link, error) {
	secret, err := account.ParseSecret(text)
	if err != nil {
		return signup.SignUp{}, account.Link{}, err
	}
	hash := secret.Hash()
	place, err := s.hikes.SignUpByLink(ctx, hash[:])
	if errors.Is(err, fault.ErrNotFound) {
		return s.placeByMail(ctx, text)
	}
	if err != nil {
		return place, account.Link{}, err
	}
	return place, account.Link{Hash: hash, Target: account.PlaceTarget(place.ID)}, s.standsOpen(ctx, place)
}

// placeByMail opens a link to a place that a later mail brought.
func (s *Kit) placeByMail(ctx context.Context, secret string) (signup.SignUp, account.Link, error) {
	link, err := account.OpenLink(ctx, s.accounts, secret, account.Place, s.Now())
	if err != nil {
		return signup.SignUp{}, link, err
	}
	place, err := s.hikes.SignUpByID(ctx, link.SignUp)
	return place, link, err
}

// HikeIn returns the hike that the request is about.
func HikeIn(r *http.Request) hike.Hike { return r.Context().Value(hikeKey).(hike.Hike) }

// PlaceIn returns the sign-up that the request's private link opens.
func PlaceIn(r *http.Request) signup.SignUp { return r.Context().Value(placeKey).(signup.SignUp) }

// SecretIn is the secret of the private link as it stands in the address.
func SecretIn(r *http.Request) string { return chi.URLParam(r, "secret") }

// PersonIn is the sign-up that the address names.
func PersonIn(r *http.Request) string { return chi.URLParam(r, "person") }

// WithViewer finds out who asks.
func (s *Kit) WithViewer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		viewer := account.Anonymous()
		if id := s.Sessions.GetString(r.Context(), SignInKey); id != "" {
			in, err := s.accounts.SignedInAs(r.Context(), id, s.Now())
			if err == nil {
				viewer, err = s.signedIn(r.Context(), in)
			}
			switch {
			case err == nil:
			case !errors.Is(err, account.ErrNotFound): // ended elsewhere is no fault
				s.Fail(w, r, err) // not taken for signed out: a phone drops its copy of the roll then
				return
			}
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), viewerKey, viewer)))
	})
}

func ViewerOf(r *http.Request) account.Viewer {
	v, _ := r.Context().Value(viewerKey).(account.Viewer)
	return v
}

// standsOpen is nil while what is kept of the people of the hike is still kept; after
// that a link to a place has expired.
func (s *Kit) standsOpen(ctx context.Context, place signup.SignUp) error {
	h, err := s.hikes.Hike(ctx, place.Hike)
	if err == nil && !s.Now().Before(h.Start.Add(h.Rules().KeepContacts)) {
		return account.ErrLinkExpired
	}
	return err
}
