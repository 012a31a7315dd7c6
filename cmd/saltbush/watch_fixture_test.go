package main

import (
	"context"
	"fmt"
	"log/slog"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/plan"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/site"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// lookout is a database with a coordinator, four leaders, a trail, and hikes to watch.
type lookout struct {
	t     testing.TB
	db    *postgres.DB
	dsn   string
	trail ref.Trail
	staff []team.Staff
}

const coordinatorMail = "coordinator@example.org"

func newLookout(t testing.TB) *lookout {
	t.Helper()
	return newLookoutOn(t, pgtest.Database(t, postgres.Migrate))
}

func newLookoutOn(t testing.TB, dsn string) *lookout {
	t.Helper()
	ctx := context.Background()
	l := &lookout{t: t, dsn: dsn}
	var err error
	if l.db, err = postgres.Open(ctx, l.dsn); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.db.Close)
	if err := withCardKey(ctx, l.db); err != nil {
		t.Fatal(err)
	}
	l.account("Juniper Vale", coordinatorMail, "", account.Coordinator)
	for i, role := range []team.Role{team.Leader, team.Sweep, team.Assistant, team.Assistant} {
		name := fmt.Sprintf("Leader %d", i+1)
		id := l.account(name, fmt.Sprintf("leader%d@example.org", i+1), fmt.Sprintf("928-555-01%02d", i), account.Leader)
		l.staff = append(l.staff, team.Staff{Account: id, Name: name, Role: role})
	}
	l.addTrail()
	return l
}

func (l *lookout) account(name, email, phone string, role account.Role) account.ID {
	l.t.Helper()
	a, err := l.db.AccountStore().CreateAccount(context.Background(), account.Account{Name: name, Email: email, Phone: phone,
		Roles: []account.Role{role}, Active: true, Units: account.Metric, Created: time.Now()})
	if err != nil {
		l.t.Fatal(err)
	}
	return a.ID
}

func (l *lookout) addTrail() {
	l.t.Helper()
	var fixes []track.Fix
	for i := range 200 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+float64(i)*1e-4, -112), Elevation: unit.Length(600 + i), HasElevation: true})
	}
	profile, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		l.t.Fatal(err)
	}
	tr := trail.Trail{Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm, Profile: profile, Created: time.Now(),
		Points: []trail.Point{{Kind: trail.Trailhead, Name: "Dry Fork gate", Along: 0}, {Kind: trail.Junction, Name: "Notch Junction", Along: 900}}}
	if l.trail, err = l.db.AddTrail(context.Background(), tr, []byte("<gpx/>")); err != nil {
		l.t.Fatal(err)
	}
}

// The walk of every hike here: half take two hours, nine in ten three.
const (
	likely = 2 * time.Hour
	latest = 3 * time.Hour
)

// post stores a hike with a plan. Its on-call has a mail address, its deputy only a phone
// that a leader's account has too.
func (l *lookout) post(n int, start time.Time) hike.Hike {
	l.t.Helper()
	ctx := context.Background()
	h := hike.Hike{Trail: l.trail, Title: fmt.Sprintf("Dry Fork %02d", n), Meet: start.Add(-30 * time.Minute), Start: start, Places: 10,
		Pace: walk.Ordinary, State: hike.Posted, Created: time.Now(),
		OnCall: team.Contact{Name: fmt.Sprintf("On-call %02d", n), Phone: fmt.Sprintf("602-555-01%02d", n%100), Email: fmt.Sprintf("oncall%d@example.org", n)},
		Deputy: team.Contact{Name: "Somebody", Phone: "(928) 555 0103"}}
	for _, m := range l.staff {
		m.Person = uuid.NewString()
		h.Staff = append(h.Staff, m)
	}
	var err error
	if h.ID, err = l.db.AddHike(ctx, h); err != nil {
		l.t.Fatal(err)
	}
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(likely/time.Second), plan.Seconds(latest/time.Second)
	if err := l.db.SavePlan(ctx, hike.StoredPlan{Hike: h.ID, Made: start.Add(-time.Hour), By: "test", Plan: p}); err != nil {
		l.t.Fatal(err)
	}
	return h
}

// record appends to a roll, received at the same time.
func (l *lookout) record(h hike.Hike, kind roll.Kind, at time.Time, change func(*roll.Event)) {
	l.t.Helper()
	e := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: kind, At: at, By: "Leader 1"}
	if change != nil {
		change(&e)
	}
	if _, err := l.db.Append(context.Background(), h.ID, []roll.Event{e}, at); err != nil {
		l.t.Fatal(err)
	}
}

func (l *lookout) depart(h hike.Hike, at time.Time) {
	l.t.Helper()
	l.record(h, roll.KindDeparted, at, func(e *roll.Event) {
		e.Place = "trailhead"
		for _, m := range h.Staff {
			e.Persons = append(e.Persons, roll.PersonID(m.Person))
		}
		e.Number = len(e.Persons)
	})
}

func (l *lookout) back(h hike.Hike, at time.Time) {
	l.t.Helper()
	l.record(h, roll.KindBack, at, func(e *roll.Event) {
		for _, m := range h.Staff {
			e.Persons = append(e.Persons, roll.PersonID(m.Person))
		}
	})
}

// watcher is one of several on the database, by a clock of the test's own.
func (l *lookout) watcher(clock func() time.Time) *site.Site {
	l.t.Helper()
	s, err := site.New(context.Background(), &site.Database{DB: l.db}, site.Options{Listen: "127.0.0.1:0", BaseURL: "https://hikes.example.org",
		Webhook: site.Webhook{URL: "https://gateway.example.org", Secret: hookSecret}, Now: clock, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		l.t.Fatal(err)
	}
	l.t.Cleanup(func() { _ = s.Close() })
	return s
}

// pairs runs a query of two texts a row and counts each pair.
func (l *lookout) pairs(query string) map[[2]string]int {
	l.t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, l.dsn)
	if err != nil {
		l.t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, _ := conn.Query(ctx, query)
	var a, b string
	got := map[[2]string]int{}
	if _, err := pgx.ForEachRow(rows, []any{&a, &b}, func() error { got[[2]string{a, b}]++; return nil }); err != nil {
		l.t.Fatal(err)
	}
	return got
}
