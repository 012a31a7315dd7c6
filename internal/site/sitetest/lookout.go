package sitetest

import (
	"context"
	"fmt"
	"saltbush/internal/party"
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
	"saltbush/internal/site"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// Lookout is a database with a coordinator, four leaders, a trail, and hikes to watch. All
// of them may sign in.
type Lookout struct {
	t     testing.TB
	DB    *postgres.DB
	DSN   string
	Trail ref.Trail
	Staff []team.Staff // of every hike: leader, sweep and two assistants
}

// NewLookout returns one on a database of its own.
func NewLookout(t testing.TB) *Lookout {
	t.Helper()
	return NewLookoutOn(t, pgtest.Migrated(t, Watched))
}

// NewLookoutOn returns one on a database that Watched has filled.
func NewLookoutOn(t testing.TB, dsn string) *Lookout {
	t.Helper()
	l := &Lookout{t: t, DSN: dsn, DB: Open(t, dsn), Trail: 1}
	for i, role := range watchedRoles() {
		name := fmt.Sprintf("Leader %d", i+1)
		l.Staff = append(l.Staff, team.Staff{Account: ref.Account(i + 2), Name: name, Role: role})
	}
	return l
}

func watchedRoles() []team.Role {
	return []team.Role{team.Leader, team.Sweep, team.Assistant, team.Assistant}
}

// Watched is the fixture of a Lookout: accounts 1, the coordinator, and 2 to 5, the leaders
// leader1@example.org to leader4@example.org, and trail 1 with a junction at 900 m.
func Watched(ctx context.Context, dsn string) error {
	return Fill(ctx, dsn, func(db *postgres.DB) error {
		roles := []account.Role{account.Coordinator}
		coordinator := account.Account{Name: "Juniper Vale", Email: Coordinator, Roles: roles}
		if _, err := AddAccount(ctx, db, coordinator); err != nil {
			return err
		}
		for i := range watchedRoles() {
			leader := account.Account{
				Name:  fmt.Sprintf("Leader %d", i+1),
				Email: fmt.Sprintf("leader%d@example.org", i+1),
				Phone: fmt.Sprintf("928-555-01%02d", i),
				Roles: []account.Role{account.Leader},
			}
			if _, err := AddAccount(ctx, db, leader); err != nil {
				return err
			}
		}
		way := DryFork()
		way.Points = []trail.Point{
			{Kind: trail.Trailhead, Name: "Dry Fork gate"},
			{Kind: trail.Junction, Name: "Notch Junction", Along: 900},
		}
		_, err := AddTrail(ctx, db, way)
		return err
	})
}

// Account adds somebody who may sign in.
func (l *Lookout) Account(name, email, phone string, role account.Role) account.ID {
	l.t.Helper()
	a := account.Account{Name: name, Email: email, Phone: phone, Roles: []account.Role{role}}
	id, err := AddAccount(context.Background(), l.DB, a)
	if err != nil {
		l.t.Fatal(err)
	}
	return id
}

// The walk of every hike of a Lookout: half take two hours, nine in ten three.
const (
	Likely = 2 * time.Hour
	Latest = 3 * time.Hour
)

// Post stores a hike with a plan. Its on-call has a mail address, its deputy only a phone,
// which is that of leader 4 too.
func (l *Lookout) Post(n int, start time.Time) hike.Hike {
	l.t.Helper()
	ctx := context.Background()
	onCall := team.Contact{
		Name:  fmt.Sprintf("On-call %02d", n),
		Phone: fmt.Sprintf("602-555-01%02d", n%100),
		Email: fmt.Sprintf("oncall%d@example.org", n),
	}
	h := hike.Hike{
		Trail:   l.Trail,
		Title:   fmt.Sprintf("Dry Fork %02d", n),
		Meet:    start.Add(-30 * time.Minute),
		Start:   start,
		Places:  10,
		Pace:    walk.Ordinary,
		State:   hike.Posted,
		Created: time.Now(),
		OnCall:  onCall,
		Deputy:  team.Contact{Name: "Somebody", Phone: "(928) 555 0103"},
	}
	for _, m := range l.Staff {
		m.Person = uuid.NewString()
		h.Staff = append(h.Staff, m)
	}
	var err error
	if h.ID, err = l.DB.AddHike(ctx, h); err != nil {
		l.t.Fatal(err)
	}
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(Likely/time.Second), plan.Seconds(Latest/time.Second)
	stored := hike.StoredPlan{Hike: h.ID, Made: start.Add(-time.Hour), By: "test", Plan: p}
	if err := l.DB.SavePlan(ctx, stored); err != nil {
		l.t.Fatal(err)
	}
	return h
}

// Record appends to a roll, received when it happened. Change fills in the event.
func (l *Lookout) Record(h hike.Hike, kind party.Kind, at time.Time, change func(*party.Event)) {
	l.t.Helper()
	e := party.Event{ID: party.EventID(uuid.NewString()), Kind: kind, At: at, By: "Leader 1"}
	if change != nil {
		change(&e)
	}
	if _, err := l.DB.Append(context.Background(), h.ID, []party.Event{e}, at); err != nil {
		l.t.Fatal(err)
	}
}

// Depart records that all staff of a hike set out.
func (l *Lookout) Depart(h hike.Hike, at time.Time) {
	l.t.Helper()
	l.Record(h, party.KindDeparted, at, func(e *party.Event) {
		e.Persons, e.Place = personsOf(h), "trailhead"
		e.Number = len(e.Persons)
	})
}

// Back records that all staff of a hike are back.
func (l *Lookout) Back(h hike.Hike, at time.Time) {
	l.t.Helper()
	l.Record(h, party.KindBack, at, func(e *party.Event) { e.Persons = personsOf(h) })
}

func personsOf(h hike.Hike) (all []party.PersonID) {
	for _, m := range h.Staff {
		all = append(all, party.PersonID(m.Person))
	}
	return all
}

// WatchBase is what links begin with in the alarms of a Lookout's watchers.
const WatchBase = "https://hikes.example.org"

// Watcher is one of several on the database, with a gateway for text messages attached. It
// serves nothing; its Watch is one pass over all hikes.
func (l *Lookout) Watcher(now func() time.Time, change ...func(*site.Options)) *Site {
	l.t.Helper()
	options := func(o *site.Options) {
		o.BaseURL, o.Now = WatchBase, now
		o.Webhook = site.Webhook{URL: "https://gateway.example.org", Secret: "a secret for tests only"}
	}
	s := assemble(l.t, l.DSN, l.DB, append([]func(*site.Options){options}, change...))
	l.t.Cleanup(func() { _ = s.Close() })
	return s
}

// Watch makes one pass over all hikes by the clock, as a watcher of its own.
func (l *Lookout) Watch(now func() time.Time) {
	l.t.Helper()
	if err := l.Watcher(now).Watch(context.Background()); err != nil {
		l.t.Fatal(err)
	}
}

// Pages serves the pages of the lookout by a clock and does no job.
func (l *Lookout) Pages(now func() time.Time, change ...func(*site.Options)) *Site {
	l.t.Helper()
	return PagesOn(l.t, l.DSN, l.DB, now, change...)
}

// Pairs runs a query of two texts a row and counts each pair.
func (l *Lookout) Pairs(query string) map[[2]string]int {
	l.t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, l.DSN)
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
