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

	"saltbush/assets"
	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/retention"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
	"saltbush/web/accounts"
	"saltbush/web/hikes"
	"saltbush/web/kit"
	"saltbush/web/public"
	webroll "saltbush/web/roll"
	"saltbush/web/settings"
	"saltbush/web/signups"
	"saltbush/web/team"
	"saltbush/web/trails"
	webwatch "saltbush/web/watch"
)

// Config holds everything that a server needs.
type Config struct {
	Hikes    hike.Store
	Rolls    roll.Store
	Watch    watch.Store
	Accounts account.Store
	Tell     hike.AnnouncementStore
	Ground   trail.GroundStore
	Staff    staffing.Store
	// People stores people who are imported from a table.
	People accounts.PeopleImporter
	Rides  ride.Store
	Outbox message.Outbox
	// Choices are the mails that people opted out of.
	Choices message.Choices
	// Calendar numbers calendar entries.
	Calendar calendar.Store
	// MailFrom is the sender of every mail and the organizer of every invitation.
	MailFrom string
	// Cards keeps medical cards, sealed.
	Cards card.Store
	// Kept knows what is kept of people and until when, and deletes it.
	Kept retention.Store
	// Wakes keeps the browsers that alarms are pushed to; nil where none can be.
	Wakes kit.PushStore
	// LocalPush allows a push service on this machine, for tests.
	LocalPush bool
	Hasher    *account.Hasher
	Sessions  scs.Store
	// Changes tells the boards that are open that a roll has changed.
	Changes webwatch.Changes
	// Standing caches every running watch; the board is drawn from it.
	Standing *watch.CaseCache
	// Ready reports whether the server can work, for outside monitors.
	Ready func(context.Context) error
	// BaseURL is the beginning of every link in a message.
	BaseURL string
	// Secure marks cookies as https only.
	Secure bool
	// Demo shows the banner, the outbox to everyone, and the index of page states.
	Demo bool
	// Samples are the accounts that a visitor of the demo may try.
	Samples []accounts.Sample
	Now     func() time.Time
	Log     *slog.Logger
}

// Server answers requests. It makes each area with what that area needs, and lists the routes.
type Server struct {
	*kit.Kit
	ready    func(context.Context) error
	notify   *notify.Notifier
	accounts *accounts.Handlers
	hikes    *hikes.Handlers
	public   *public.Handlers
	roll     *webroll.Handlers
	settings *settings.Handlers
	signups  *signups.Handlers
	team     *team.Handlers
	trails   *trails.Handlers
	watch    *webwatch.Handlers
}

// New returns a server that is ready to serve, or an error that names what is missing.
func New(c Config) (*Server, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	s := &Server{ready: c.Ready}
	s.Kit = c.kit()
	s.Sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) { s.Fail(w, r, err) }
	var err error
	if s.notify, err = c.notifier(); err != nil {
		return nil, err
	}
	s.assemble(c)
	return s, nil
}

// assemble makes the areas.
func (s *Server) assemble(c Config) {
	k, n := s.Kit, s.notify
	s.accounts = accounts.New(k, n, c.Accounts, c.Hasher, c.Hikes, c.Outbox, c.People, c.Staff, c.Samples)
	s.hikes = hikes.New(k, n, c.Accounts, c.Cards, c.Ground, c.Hikes, c.Outbox, c.Rolls, c.Staff, c.Tell)
	s.public = public.New(k, n, c.Accounts, c.Hikes)
	s.roll = webroll.New(k, c.Rolls)
	s.settings = settings.New(k, c.Hikes, c.Kept, c.Outbox)
	s.signups = signups.New(k, n, c.Accounts, c.Cards, c.Choices, c.Hikes, c.Kept, c.Outbox, c.Rides)
	s.team = team.New(k, n, c.Accounts, c.Hikes, c.Staff)
	s.trails = trails.New(k, c.Ground, c.Hikes)
	s.watch = webwatch.New(k, n, c.Accounts, c.Cards, c.Changes, c.Ground, c.Hikes, c.Outbox, c.Rides, c.Rolls,
		c.Standing, c.Tell, c.Wakes, c.Watch, c.LocalPush)
}

// check names every part that is missing. Wakes and Samples may be.
func (c Config) check() error {
	var missing []string
	v := reflect.ValueOf(c)
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		switch name {
		case "Wakes", "Samples":
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

func (c Config) kit() *kit.Kit {
	sessions := scs.New()
	sessions.Store = c.Sessions
	sessions.HashTokenInStore = true
	sessions.Lifetime = kit.SessionLife
	sessions.Cookie.Name = "saltbush"
	sessions.Cookie.HttpOnly = true
	sessions.Cookie.SameSite = http.SameSiteLaxMode
	sessions.Cookie.Secure = c.Secure
	k := kit.New(sessions, c.Hikes, c.Rolls, c.Accounts, c.Cards, c.Staff, c.Wakes)
	k.BaseURL, k.Secure, k.Demo, k.Now, k.Log = c.BaseURL, c.Secure, c.Demo, c.Now, c.Log
	return k
}

func (c Config) notifier() (*notify.Notifier, error) {
	return notify.New(notify.Config{
		Store:    c.Hikes,
		Accounts: c.Accounts,
		Staff:    c.Staff,
		Outbox:   c.Outbox,
		Calendar: c.Calendar,
		Choices:  c.Choices,
		Rides:    c.Rides,
		Rolls:    c.Rolls,
		BaseURL:  c.BaseURL,
		MailFrom: c.MailFrom,
		Now:      c.Now,
		Log:      c.Log,
	})
}

// Notifier returns the part that composes mail, for the jobs that run beside the pages.
func (s *Server) Notifier() *notify.Notifier { return s.notify }

// Handler returns the handler of the whole site.
func (s *Server) Handler() http.Handler {
	r := chi.NewRouter()
	r.Use(middleware.Recoverer, secureHeaders, http.NewCrossOriginProtection().Handler)
	r.Handle("/assets/*", assets.Handler())
	r.Get("/healthz", s.health)
	r.Get("/healthz/watch", s.watch.WatchHealth)
	r.Get("/sw.js", webroll.ServeWorker)
	r.Get("/wake-worker.js", webwatch.ServeWakeWorker)
	r.Group(func(r chi.Router) {
		r.Use(middleware.Compress(5, "text/html", "text/plain"), s.Sessions.LoadAndSave, s.WithViewer)
		for _, route := range s.Routes() {
			r.With(limited(route)...).Method(route.Method, route.Pattern, s.guard(route))
		}
		redirectMoved(r)
		r.NotFound(func(w http.ResponseWriter, r *http.Request) { s.Fail(w, r, fault.ErrNotFound) })
	})
	return r
}

// secureHeaders allows only the site's own files and keeps pages out of frames.
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
