package account

import (
	"context"
	"strings"
	"time"
)

// SignIn is one browser that is signed in to an account. Ended, it is gone.
type SignIn struct {
	ID       string // uuid text
	Account  ID
	Began    time.Time
	LastSeen time.Time // to some minutes
	Device   string    // as DeviceOf says
	Network  string    // where from: a block of addresses, never a single one
	Second   bool      // a code or a passkey came with it
}

// Session is who a browser is signed in as.
type Session struct {
	Account
	Second bool      // the second step was taken
	Asked  time.Time // since when the account is asked for one; zero: it was not yet
}

const (
	// SignInFor is how long a browser that is not seen stays signed in.
	// House judgement: a leader signs in at home the evening before and is not asked again
	// at the trailhead; a day's hike and its evening fit in well.
	SignInFor = 7 * 24 * time.Hour
	// SeenEvery is how exactly it is kept when a browser was last seen.
	// House judgement: enough to tell one's own phone from a stranger's.
	SeenEvery = 5 * time.Minute
)

// SignInStore keeps where accounts are signed in. Every method is one transaction.
type SignInStore interface {
	// AddSignIn stores a new one.
	AddSignIn(ctx context.Context, s SignIn) error

	// SignedInAs returns the account, active or not, and notes that the browser was seen.
	// It is ErrNotFound where the sign-in was ended or has not been seen for SignInFor.
	SignedInAs(ctx context.Context, id string, now time.Time) (Session, error)

	// SignIns returns an account's own that have not run out, the latest seen first.
	SignIns(ctx context.Context, of ID, now time.Time) ([]SignIn, error)

	// EndSignIn ends one of the account's own; it is no error where there is none such.
	EndSignIn(ctx context.Context, of ID, id string) error

	// EndSignIns ends all of the account's own but one; "" keeps none.
	EndSignIns(ctx context.Context, of ID, but string) error

	// SecondStepTaken notes that the second step came after the sign-in.
	SecondStepTaken(ctx context.Context, of ID, id string) error

	// SecondStepGone lets every sign-in of the account count as one by password alone.
	SecondStepGone(ctx context.Context, of ID) error
}

// DeviceOf says in words what a browser calls itself: "Firefox on Android". The names
// that others carry too are asked last.
func DeviceOf(agent string) string {
	browser := named(agent, "a browser", "Edg", "Edge", "OPR", "Opera", "SamsungBrowser", "Samsung browser", "Firefox",
		"Firefox", "FxiOS", "Firefox", "Chrome", "Chrome", "CriOS", "Chrome", "Safari", "Safari")
	system := named(agent, "an unknown system", "Android", "Android", "iPhone", "iPhone", "iPad", "iPad", "Windows",
		"Windows", "Mac OS X", "a Mac", "CrOS", "ChromeOS", "Linux", "Linux")
	return browser + " on " + system
}

// named returns the word that follows the first sign found; pairs are sign and word.
func named(text, otherwise string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		if strings.Contains(text, pairs[i]) {
			return pairs[i+1]
		}
	}
	return otherwise
}
