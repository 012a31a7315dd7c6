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

// Handler answers one route. Fail turns its error into a page.
type Handler func(w http.ResponseWriter, r *http.Request) error

// SelfAuthorized marks routes whose handlers verify a secret or a password themselves, such as
// signing in. No policy check runs for them.
const SelfAuthorized account.Action = ""

// WithViewer is middleware that finds out who asks.
func (s *Kit) WithViewer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		viewer := account.Anonymous()
		if id := s.Sessions.GetString(r.Context(), SignInKey); id != "" {
			in, err := s.accounts.SignedInAs(r.Context(), id, s.Now())
			if err == nil {
				viewer, err = s.signedIn(r.Context(), in)
			}
			// A sign-in that was ended elsewhere leaves the viewer signed out. Any other error must
			// not: a phone that is signed out drops its copy of the roll.
			if err != nil && !errors.Is(err, account.ErrNotFound) {
				s.Fail(w, r, err)
				return
			}
		}
		next.ServeHTTP(w, withRequest(r, &Request{Viewer: viewer}))
	})
}

// Admit loads what the request is about and checks that the viewer may do the action.
func (s *Kit) Admit(r *http.Request, needs account.Action) error {
	known := RequestOf(r)
	var subject account.Subject
	var ended error // of a link for the day that has ended
	if chi.URLParam(r, "hike") != "" {
		h, err := s.hikeOf(r)
		if err != nil {
			return err
		}
		known.Hike, subject = &h, s.SubjectOf(h)
		if ended = s.addDayLink(r, known); ended != nil && !endedLink(ended) {
			return ended
		}
	}
	if needs == SelfAuthorized {
		return nil
	}
	viewer := known.Viewer
	if secret := chi.URLParam(r, "secret"); secret != "" {
		place, link, err := s.placeOf(r.Context(), secret)
		if err != nil {
			return err
		}
		known.Place = &place
		viewer, subject.Place = viewer.WithLink(link), place.ID
	}
	err := account.May(viewer, needs, subject)
	if ended != nil && errors.Is(err, account.ErrSignIn) {
		return ended // somebody who came by a link has no account to sign in to
	}
	return err
}

func (s *Kit) hikeOf(r *http.Request) (hike.Hike, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "hike"), 10, 64)
	if err != nil {
		return hike.Hike{}, fmt.Errorf("hike %q: %w", chi.URLParam(r, "hike"), fault.ErrNotFound)
	}
	return s.hikes.Hike(r.Context(), ref.Hike(id))
}

// SubjectOf returns a hike in the form that the policy takes.
func (s *Kit) SubjectOf(h hike.Hike) account.Subject {
	subject := account.Subject{
		Hike: h.ID, Posted: h.State != hike.Draft, Today: h.OnDay(s.Now()),
	}
	for _, m := range h.Staff {
		subject.Staff = append(subject.Staff, m.Account)
	}
	return subject
}

// May reports whether the viewer may do an action, to the request's hike where it has one. Pages
// ask it before they offer something.
func (s *Kit) May(r *http.Request, a account.Action) bool {
	known := RequestOf(r)
	var subject account.Subject
	if known.Hike != nil {
		subject = s.SubjectOf(*known.Hike)
	}
	return account.May(known.Viewer, a, subject) == nil
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
	return place, account.Link{Hash: hash, Target: account.PlaceTarget(place.ID)}, s.checkStillKept(ctx, place)
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

// checkStillKept returns account.ErrLinkExpired once the contacts of the hike are due for
// deletion: a link to a place ends with them.
func (s *Kit) checkStillKept(ctx context.Context, place signup.SignUp) error {
	h, err := s.hikes.Hike(ctx, place.Hike)
	if err == nil && !s.Now().Before(h.Start.Add(h.Rules().KeepContacts)) {
		return account.ErrLinkExpired
	}
	return err
}
