package web

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"

	"saltbush/assets"
	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// Config holds everything that a server needs.
type Config struct {
	Hikes    hike.Store
	Rolls    roll.Store
	Watch    watch.Store
	Accounts account.Store
	Tell     Teller
	Ground   hike.GroundStore
	Staff    hike.StaffStore
	// People stores people who are brought in from a table.
	People Bringer
	Rides  hike.RideStore
	Outbox message.Outbox
	// Choices are the mails that people do not want.
	Choices message.Choices
	// Calendar numbers what calendars are told; nil where nothing is told.
	Calendar calendar.Store
	// MailFrom is the address that mail comes from; it is who invites.
	MailFrom string
	// Cards keeps what people tell about their health, sealed.
	Cards card.Store
	// Kept says what is kept of people, until when, and what went.
	Kept hike.RetentionStore
	// Wakes keeps the browsers that asked to be woken; nil where none can be.
	Wakes WakeStore
	// LocalPush lets a push service lie on this machine, for tests.
	LocalPush bool
	Hasher    *account.Hasher
	Sessions  scs.Store
	// Changes wakes whoever watches the board: a value arrives after a roll changed.
	Changes Changes
	// Standing holds every running watch, folded; the board is drawn from it.
	Standing *watch.Standing
	// Ready reports whether the server can do its work, for outside monitors.
	Ready func(context.Context) error
	// BaseURL is the address that links in messages begin with.
	BaseURL string
	// Secure marks cookies for https only.
	Secure bool
	// Demo shows the banner, the outbox to everyone, and the index of page states.
	Demo bool
	// Samples are the accounts that a visitor of the demo may try.
	Samples []Sample
	Now     func() time.Time
	Log     *slog.Logger
}

// Sample is an account of the demo.
type Sample struct{ As, Email, Password string }

// Changes lets many listeners hear that some roll changed.
type Changes interface {
	// Subscribe returns a channel that holds at most one pending signal, and what ends it.
	Subscribe() (signal <-chan struct{}, cancel func())
	// Since returns the mark that stands now and the hikes that changed after the given
	// one; all says that any may have.
	Since(mark uint64) (now uint64, ids []hike.HikeID, all bool)
}

// Server answers requests.
type Server struct {
	Config
	sessions *scs.SessionManager
	board    sharedBoard
}

// sessionLife is how long a browser keeps its cookie.
const sessionLife = account.SignInFor

// New returns a server ready to serve.
func New(c Config) *Server {
	s := &Server{Config: c, sessions: scs.New()}
	s.sessions.Store = c.Sessions
	s.sessions.HashTokenInStore = true
	s.sessions.Lifetime = sessionLife
	s.sessions.Cookie.Name = "saltbush"
	s.sessions.Cookie.HttpOnly = true
	s.sessions.Cookie.SameSite = http.SameSiteLaxMode
	s.sessions.Cookie.Secure = c.Secure
	s.sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) { s.fail(w, r, err) }
	return s
}

// Handler returns the whole site.
func (s *Server) Handler() http.Handler {
	r := chi.NewRouter()
	r.Use(middleware.Recoverer, secureHeaders, http.NewCrossOriginProtection().Handler)
	r.Handle("/assets/*", assets.Handler())
	r.Get("/healthz", s.health)
	r.Get("/healthz/watch", s.watchHealth)
	r.Get("/sw.js", serveWorker)
	r.Get("/wake-worker.js", serveWakeWorker)
	r.Group(func(r chi.Router) {
		r.Use(middleware.Compress(5, "text/html", "text/plain"), s.sessions.LoadAndSave, s.withViewer)
		for _, route := range s.Routes() {
			r.With(limited(route)...).Method(route.Method, route.Pattern, s.guard(route))
		}
		r.NotFound(func(w http.ResponseWriter, r *http.Request) { s.fail(w, r, hike.ErrNotFound) })
	})
	return r
}

// limited bounds how often one address may ask. Behind a proxy that address is the
// proxy's, which then limits everybody together: slow for some, safe for all.
func limited(route Route) []func(http.Handler) http.Handler {
	if route.tries == 0 {
		return nil
	}
	return []func(http.Handler) http.Handler{httprate.LimitByIP(route.tries, time.Minute)}
}

// secureHeaders allows nothing but the site's own files and keeps pages out of frames.
func secureHeaders(next http.Handler) http.Handler {
	const policy = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// health answers monitors: 200 while the database answers.
func (s *Server) health(w http.ResponseWriter, r *http.Request) {
	if err := s.Ready(r.Context()); err != nil {
		s.Log.Error("not ready", "err", err)
		http.Error(w, "not ready", http.StatusServiceUnavailable)
		return
	}
	_, _ = w.Write([]byte("ok\n"))
}
