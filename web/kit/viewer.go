package kit

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
)

// SignInKey is the key under which a browser's session keeps the ID of its sign-in.
const SignInKey = "sign-in"

// OwnPath returns the path to redirect to, and the desk where it would lead off this site.
func OwnPath(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") ||
		strings.Contains(next, `\`) {
		return "/desk"
	}
	return next
}

// Coordinates reports whether the viewer sees the staffing of all hikes.
func Coordinates(r *http.Request) bool {
	return account.May(ViewerOf(r), account.SeeStaffing, account.Subject{}) == nil
}

// Home returns the page to show after signing in.
func Home(a account.Account) string {
	if a.Has(account.Leader) || a.Has(account.Coordinator) {
		return "/desk"
	}
	if a.Has(account.OnCall) || a.Has(account.Safety) {
		return "/board"
	}
	return "/mine"
}

// signedIn returns the viewer of a sign-in. A coordinator without a second step is first asked to
// set one up, and held back after the time that the house allows.
func (s *Kit) signedIn(ctx context.Context, in account.Session) (account.Viewer, error) {
	if in.Second || !in.Has(account.Coordinator) {
		return account.SignedIn(in.Account), nil
	}
	by, asked, err := s.secondBy(ctx, in)
	if err != nil || !asked || s.Now().Before(by) {
		return account.SignedIn(in.Account), err
	}
	return account.PendingTwoFactor(in.Account), nil
}

// secondBy returns by when a coordinator has to set up a second step. It is false where the house
// requires none.
func (s *Kit) secondBy(ctx context.Context, in account.Session) (time.Time, bool, error) {
	house, err := s.hikes.House(ctx)
	if err != nil {
		return time.Time{}, false, err
	}
	if _, asks := house.Rules.SecondStepBy(s.Now()); !asks {
		return time.Time{}, false, nil
	}
	if in.Asked.IsZero() {
		if in.Asked, err = s.accounts.AskTwoStep(ctx, in.ID, s.Now()); err != nil {
			return time.Time{}, false, err
		}
	}
	by, asks := house.Rules.SecondStepBy(in.Asked)
	return by, asks, nil
}

// sessionIn returns the sign-in of the request.
func (s *Kit) sessionIn(r *http.Request) (account.Session, error) {
	return s.accounts.SignedInAs(r.Context(), s.Sessions.GetString(r.Context(), SignInKey), s.Now())
}

// SecondWanted asks a coordinator who signed in with a password alone to set up a second step. It
// is "" for everybody else.
func (s *Kit) SecondWanted(r *http.Request) (string, error) {
	in, err := s.sessionIn(r)
	if err != nil || in.Second || !in.Has(account.Coordinator) {
		return "", err
	}
	by, asks, err := s.secondBy(r.Context(), in)
	switch {
	case err != nil || !asks:
		return "", err
	case !s.Now().Before(by):
		return "What only coordinators do waits until you have signed in with one. The board, the watch of a party " +
			"that is out, and hikes that you lead are yours as before.", nil
	}
	return "You may open everybody's data, and a password alone can be found out. Until " +
		format.Moment(by, s.Zone(r)) + " you can go on without; after that what only coordinators do waits for it.", nil
}
