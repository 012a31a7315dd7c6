package kit

import (
	"log/slog"
	"time"

	"github.com/alexedwards/scs/v2"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/staffing"
)

// SessionLife is how long a browser keeps its cookie.
const SessionLife = account.SignInFor

// Kit is what handlers of every area share: who asks, how a page is framed, how an error is answered.
type Kit struct {
	// Sessions keeps what a browser has in its cookie's session.
	Sessions *scs.SessionManager
	// BaseURL is the address that links in messages begin with.
	BaseURL string
	// Secure marks cookies for https only.
	Secure bool
	// Demo shows the banner and the outbox to everyone.
	Demo bool
	Now  func() time.Time
	Log  *slog.Logger

	hikes    hike.Store
	accounts account.Store
	cards    card.Store
	staff    staffing.Store
	wakes    PushStore
}

// New returns a kit on the stores that every request may need.
func New(
	sessions *scs.SessionManager,
	hikes hike.Store,
	accounts account.Store,
	cards card.Store,
	staff staffing.Store,
	wakes PushStore,
) *Kit {
	return &Kit{
		Sessions: sessions,
		hikes:    hikes,
		accounts: accounts,
		cards:    cards,
		staff:    staff,
		wakes:    wakes,
	}
}
