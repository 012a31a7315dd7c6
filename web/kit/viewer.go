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

// SignInKey is where a browser's session keeps the name of its sign-in.
const SignInKey = "sign-in"

// OwnPath keeps a redirect on this site.
func OwnPath(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") ||
		strings.Contains(next, `\`) {
		return "/desk"
	}
	return next
}

func Coordinates(r *http.Request) bool {
	return account.May(ViewerOf(r), account.SeeStaffing, account.Subject{}) == nil
}

// Home is where somebody begins after signing in: the desk is for those who lead.
func Home(a account.Account) string {
	if a.Has(account.Leader) || a.Has(account.Coordinator) {
		return "/desk"
	}
	if a.Has(account.OnCall) || a.Has(account.Safety) {
		return "/board"
	}
	return "/mine"
}

// signedIn is the viewer of a sign-in. A coordinator without a second step is first asked
// for one, and after the house's wait held back.
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

// secondBy is by when a coordinator is to have a second step; false where the house does
// not ask for one.
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

// sessionIn is the sign-in of the request, for pages that say more of it than who it is.
func (s *Kit) sessionIn(r *http.Request) (account.Session, error) {
	return s.accounts.SignedInAs(r.Context(), s.Sessions.GetString(r.Context(), SignInKey), s.Now())
}

// SecondWanted says to a coordinator who came with a password alone that the house asks
// for more; "" to everybody else.
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
