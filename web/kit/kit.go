package kit

import (
	"log/slog"
	"time"

	"github.com/alexedwards/scs/v2"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/staffing"
	"saltbush/internal/watch"
)

// SessionLife is how long a browser keeps its cookie.
const SessionLife = account.SignInFor

// Kit is what the handlers of every area share: who asks, how a page is framed, how an error is
// answered.
type Kit struct {
	// Sessions keeps what belongs to a browser's cookie.
	Sessions *scs.SessionManager
	// BaseURL is the beginning of every link in a message.
	BaseURL string
	// Secure marks cookies as https only.
	Secure bool
	// Demo shows the banner, and the outbox to everyone.
	Demo bool
	Now  func() time.Time
	Log  *slog.Logger

	hikes    hike.Store
	rolls    watch.RecordStore
	accounts account.Store
	cards    card.Store
	staff    staffing.Store
	wakes    PushStore
}

// New returns a kit over the stores that any request may need.
func New(
	sessions *scs.SessionManager,
	hikes hike.Store,
	rolls watch.RecordStore,
	accounts account.Store,
	cards card.Store,
	staff staffing.Store,
	wakes PushStore,
) *Kit {
	return &Kit{
		Sessions: sessions,
		hikes:    hikes,
		rolls:    rolls,
		accounts: accounts,
		cards:    cards,
		staff:    staff,
		wakes:    wakes,
	}
}
