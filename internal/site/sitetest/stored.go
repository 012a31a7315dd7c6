package sitetest

import (
	"context"
	"maps"
	"saltbush/internal/party"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
)

// Hike loads a stored hike.
func (s *Site) Hike(t testing.TB, id ref.Hike) hike.Hike {
	t.Helper()
	h, err := s.DB.Hike(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// ChangeHike changes a stored hike.
func (s *Site) ChangeHike(t testing.TB, id ref.Hike, change func(*hike.Hike)) {
	t.Helper()
	ChangeHike(t, s.DB, id, change)
}

// SignUps loads the sign-ups of a hike in the order in which they asked.
func (s *Site) SignUps(t testing.TB, id ref.Hike) []signup.SignUp {
	t.Helper()
	list, err := s.DB.SignUps(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// Roll loads the roll of a hike.
func (s *Site) Roll(t testing.TB, id ref.Hike) roll.Record {
	t.Helper()
	rec, err := s.DB.Record(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// Account loads an account by its mail address.
func (s *Site) Account(t testing.TB, email string) account.Account {
	t.Helper()
	a, err := s.DB.AccountStore().AccountByEmail(context.Background(), email)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Exec runs a statement on the site's database.
func (s *Site) Exec(t testing.TB, sql string, args ...any) {
	t.Helper()
	if _, err := s.DB.Pool().Exec(context.Background(), sql, args...); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
}

// CloseLongAgo makes a hike one of 28 days ago that was closed a day later.
func (s *Site) CloseLongAgo(t testing.TB, id ref.Hike) {
	t.Helper()
	s.Exec(t, `
		UPDATE hikes
		SET
			meet = meet - interval '30 days',
			start = start - interval '30 days',
			state = 'closed',
			closed = now() - interval '27 days'
		WHERE id = $1`, int64(id))
}

// People are the ids of all people on the roll of a hike, by name.
func (s *Site) People(t testing.TB, id ref.Hike) map[string]party.PersonID {
	t.Helper()
	ids := map[string]party.PersonID{}
	for _, e := range s.Roll(t, id).Roster {
		ids[e.Name] = e.ID
	}
	return ids
}

// Depart records that everybody on the roll of hike 1 was here an hour ago and set out a
// minute later.
func (s *Site) Depart(t testing.TB) {
	t.Helper()
	all := slices.Collect(maps.Values(s.People(t, 1)))
	at := time.Now().Add(-time.Hour)
	here := party.Event{
		ID: party.EventID(uuid.NewString()), Kind: party.KindHere, At: at, By: "Ash Moreno", Persons: all,
	}
	out := here
	out.ID, out.Kind, out.At = party.EventID(uuid.NewString()), party.KindDeparted, at.Add(time.Minute)
	out.Number, out.Place = len(all), "trailhead"
	if _, err := s.DB.Append(context.Background(), 1, []party.Event{here, out}, time.Now()); err != nil {
		t.Fatal(err)
	}
}
