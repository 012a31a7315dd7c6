package web

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"reflect"
	"strings"
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

// Server answers requests. It makes each area with what that area needs and lists the routes.
type Server struct {
	*Kit
	ready    func(context.Context) error
	notify   *Notifier
	accounts *accountsHandlers
	hikes    *hikesHandlers
	public   *publicHandlers
	roll     *rollHandlers
	settings *settingsHandlers
	signups  *signupsHandlers
	team     *teamHandlers
	trails   *trailsHandlers
	watch    *watchHandlers
}

// New returns a server ready to serve, or an error that names what is missing in c.
func New(c Config) (*Server, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	s := &Server{ready: c.Ready}
	s.Kit = c.kit()
	s.Sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) { s.fail(w, r, err) }
	s.notify = c.notifier()
	s.assemble(c)
	return s, nil
}

// assemble makes the areas.
func (s *Server) assemble(c Config) {
	k, n := s.Kit, s.notify
	s.accounts = newAccountsHandlers(k, n, c.Accounts, c.Hasher, c.Hikes, c.Outbox, c.People, c.Staff, c.Samples)
	s.hikes = newHikesHandlers(k, n, c.Accounts, c.Cards, c.Ground, c.Hikes, c.Outbox, c.Rolls, c.Staff, c.Tell)
	s.public = newPublicHandlers(k, n, c.Accounts, c.Hikes)
	s.roll = newRollHandlers(k, c.Rolls)
	s.settings = newSettingsHandlers(k, c.Hikes, c.Kept, c.Outbox)
	s.signups = newSignupsHandlers(k, n, c.Accounts, c.Cards, c.Choices, c.Hikes, c.Kept, c.Outbox, c.Rides)
	s.team = newTeamHandlers(k, n, c.Accounts, c.Hikes, c.Staff)
	s.trails = newTrailsHandlers(k, c.Ground, c.Hikes)
	s.watch = newWatchHandlers(k, n, c.Accounts, c.Cards, c.Changes, c.Ground, c.Hikes, c.Outbox, c.Rides, c.Rolls, c.Standing, c.Tell, c.Wakes, c.Watch, c.LocalPush)
}

// check names every part that is missing. Calendar, Wakes and Samples may be.
func (c Config) check() error {
	var missing []string
	v := reflect.ValueOf(c)
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		switch name {
		case "Calendar", "Wakes", "Samples":
			continue
		}
		switch f := v.Field(i); f.Kind() {
		case reflect.Interface, reflect.Pointer, reflect.Func:
			if f.IsNil() {
				missing = append(missing, name)
			}
		}
	}
	if len(missing) > 0 {
		return fmt.Errorf("web server: %s not given", strings.Join(missing, ", "))
	}
	return nil
}

func (c Config) kit() *Kit {
	sessions := scs.New()
	sessions.Store = c.Sessions
	sessions.HashTokenInStore = true
	sessions.Lifetime = sessionLife
	sessions.Cookie.Name = "saltbush"
	sessions.Cookie.HttpOnly = true
	sessions.Cookie.SameSite = http.SameSiteLaxMode
	sessions.Cookie.Secure = c.Secure
	k := NewKit(sessions, c.Hikes, c.Accounts, c.Cards, c.Staff, c.Wakes)
	k.BaseURL, k.Secure, k.Demo, k.Now, k.Log = c.BaseURL, c.Secure, c.Demo, c.Now, c.Log
	return k
}

func (c Config) notifier() *Notifier {
	return &Notifier{
		Hikes:    c.Hikes,
		Accounts: c.Accounts,
		Outbox:   c.Outbox,
		Calendar: c.Calendar,
		Choices:  c.Choices,
		Rides:    c.Rides,
		BaseURL:  c.BaseURL,
		MailFrom: c.MailFrom,
		Now:      c.Now,
		Log:      c.Log,
	}
}

// Notifier returns the part that composes mail, for the jobs that run beside the pages.
func (s *Server) Notifier() *Notifier { return s.notify }

// Handler returns the whole site.
func (s *Server) Handler() http.Handler {
	r := chi.NewRouter()
	r.Use(middleware.Recoverer, secureHeaders, http.NewCrossOriginProtection().Handler)
	r.Handle("/assets/*", assets.Handler())
	r.Get("/healthz", s.health)
	r.Get("/healthz/watch", s.watch.watchHealth)
	r.Get("/sw.js", serveWorker)
	r.Get("/wake-worker.js", serveWakeWorker)
	r.Group(func(r chi.Router) {
		r.Use(middleware.Compress(5, "text/html", "text/plain"), s.Sessions.LoadAndSave, s.withViewer)
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
	if err := s.ready(r.Context()); err != nil {
		s.Log.Error("not ready", "err", err)
		http.Error(w, "not ready", http.StatusServiceUnavailable)
		return
	}
	_, _ = w.Write([]byte("ok\n"))
}

// AllRoutes lists the routes without a server behind them, for tests that walk the list.
func AllRoutes() []Route { return (&Server{Kit: &Kit{}}).Routes() }
