package account

import (
	"context"
	"strings"
	"time"
)

// SignIn is one browser that is signed in to an account. It is deleted when it ends.
type SignIn struct {
	ID       string // uuid text
	Account  ID
	Began    time.Time
	LastSeen time.Time // to within SeenEvery
	Device   string    // as DeviceOf returns it
	Network  string    // the block of addresses it came from, never a single address
	Second   bool      // a code or a passkey was used
}

// Session is the account that a browser is signed in to.
type Session struct {
	Account
	Second bool      // a code or a passkey was used
	Asked  time.Time // since when the account is asked to set up a second step; zero: not asked
}

const (
	// SignInFor is how long a browser stays signed in without being used.
	// Our judgment: a leader who signs in at home before the hike must not be asked again at
	// the trailhead.
	SignInFor = 7 * 24 * time.Hour
	// SeenEvery is the precision of LastSeen.
	// Our judgment: enough to tell one's own phone from a stranger's.
	SeenEvery = 5 * time.Minute
)

// SignInStore stores sign-ins. Every method is one transaction.
type SignInStore interface {
	// AddSignIn stores a new sign-in.
	AddSignIn(ctx context.Context, s SignIn) error

	// SignedInAs returns the account, active or not, and updates LastSeen. It is ErrNotFound
	// if the sign-in has ended or was not used for SignInFor.
	SignedInAs(ctx context.Context, id string, now time.Time) (Session, error)

	// SignIns returns the current sign-ins of the account, last seen first.
	SignIns(ctx context.Context, of ID, now time.Time) ([]SignIn, error)

	// EndSignIn ends one sign-in of the account. It is no error if there is none.
	EndSignIn(ctx context.Context, of ID, id string) error

	// EndSignIns ends all sign-ins of the account except one. An empty id ends all.
	EndSignIns(ctx context.Context, of ID, except string) error

	// SecondStepTaken records that the second step followed the sign-in.
	SecondStepTaken(ctx context.Context, of ID, id string) error

	// SecondStepGone makes every sign-in of the account one by password alone.
	SecondStepGone(ctx context.Context, of ID) error
}

// DeviceOf names the browser and the system of a User-Agent header: "Firefox on Android".
// Names that other browsers also send come last.
func DeviceOf(agent string) string {
	browser := named(agent, "a browser", "Edg", "Edge", "OPR", "Opera", "SamsungBrowser", "Samsung browser", "Firefox",
		"Firefox", "FxiOS", "Firefox", "Chrome", "Chrome", "CriOS", "Chrome", "Safari", "Safari")
	system := named(agent, "an unknown system", "Android", "Android", "iPhone", "iPhone", "iPad", "iPad", "Windows",
		"Windows", "Mac OS X", "a Mac", "CrOS", "ChromeOS", "Linux", "Linux")
	return browser + " on " + system
}

// named looks for marks in the text and returns the name of the first one found. The pairs
// are a mark and its name.
func named(text, otherwise string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		if strings.Contains(text, pairs[i]) {
			return pairs[i+1]
		}
	}
	return otherwise
}
