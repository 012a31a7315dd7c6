package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"reflect"
	"regexp"
	"saltbush/internal/party"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/retention/plant"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

// inText lists the fields whose planted word for a person is in the text.
func inText(text []byte, n int) (names []string) {
	for _, f := range retention.Fields() {
		if f.Planted != "" && f.At != nil && bytes.Contains(text, []byte(plant.Word(f, n))) {
			names = append(names, f.Name)
		}
	}
	return names
}

func TestPersonIsForgotten(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := sealing(t)
	h := mustHike(t, db, 1)
	ask := func(n int) string {
		s := request(h.ID, n)
		plant.Fill(&s, n)
		s.Screening, s.Acknowledged, s.RiskVersion = signup.Screening{}, true, "v1" // no talk first
		got, err := db.SignUp(ctx, s, now)
		if err != nil {
			t.Fatal(err)
		}
		return got.ID
	}
	placed, waits := ask(1), ask(2)
	rules := rules.DefaultRules()
	if err := db.ForgetPerson(ctx, placed, now, rules); !isRefusal(err) {
		t.Errorf("forgotten with a place ahead: %v, want a refusal", err)
	}
	if _, err := db.ChangeSignUp(ctx, waits, now, (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if err := db.ForgetPerson(ctx, waits, now, rules); err != nil {
		t.Fatal(err)
	}
	text := wholeDump(t, dsn)
	if here, gone := inText(text, 1), inText(text, 2); len(here) < 10 || len(gone) > 0 {
		t.Errorf("who never had a place has left %v, and of the other there is %v", gone, here)
	}
	if err := db.ForgetPerson(ctx, placed, h.Start, rules); !isRefusal(err) {
		t.Errorf("forgotten on the day: %v, want a refusal", err)
	}
	if err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
		h.State = hike.Closed
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if err := db.ForgetPerson(ctx, placed, h.Start.Add(9*time.Hour), rules); err != nil {
		t.Fatal(err)
	}
	text = wholeDump(t, dsn)
	waiver := regexp.MustCompile(`(?m)^INSERT INTO public.waivers .*$`).Find(text)
	claim := []string{"name", "guardian"} // what a claim needs
	if diff := cmp.Diff(claim, inText(waiver, 1)); diff != "" {
		t.Errorf("the waiver holds (-want +got):\n%s", diff)
	}
	if left := inText(bytes.Replace(text, waiver, nil, 1), 1); len(left) > 0 {
		t.Errorf("beside the waiver there is %v", left)
	}
	if bytes.Contains(text, []byte("INTO public.medical_cards")) {
		t.Error("the card is there")
	}
	if list := places(t, db, h.ID); len(list) != 1 || list[0].State != signup.Confirmed {
		t.Errorf("the roll has lost its person: %+v", list)
	}
	if _, err := db.OwnCard(ctx, card.Of{Hike: h.ID, Person: placed}); !errors.Is(err, fault.ErrNotFound) {
		t.Errorf("own card: %v", err)
	}
}

// field is a field of an event, or of a party in it.
type field struct {
	name string
	of   func(*party.Event) reflect.Value
}

// fieldsOf lists the fields of a struct in an event.
func fieldsOf(t reflect.Type, name string, in func(*party.Event) reflect.Value) (list []field) {
	for i := range t.NumField() {
		f := field{name + t.Field(i).Name, func(e *party.Event) reflect.Value { return in(e).Field(i) }}
		if t.Field(i).Type == reflect.TypeFor[[]party.Part]() {
			list = append(list, fieldsOf(reflect.TypeFor[party.Part](), f.name+".", func(e *party.Event) reflect.Value {
				f.of(e).Set(reflect.ValueOf([]party.Part{{Name: "first"}, {Name: "second"}}))
				return f.of(e).Index(1)
			})...)
			continue
		}
		list = append(list, f)
	}
	return list
}

// A person is on the roll if a list of people in an event has their ID, and not if a text
// happens to contain it.
func TestPersonIsOnTheRollByTheListsOfPeople(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	whole := func(e *party.Event) reflect.Value { return reflect.ValueOf(e).Elem() }
	people, texts := 0, 0
	for _, f := range fieldsOf(reflect.TypeFor[party.Event](), "", whole) {
		h := mustHike(t, db, 2)
		walker, somebody := mustOnList(t, db, h.ID), mustOnList(t, db, h.ID)
		e := event(party.KindReported, now)
		v := f.of(&e)
		want := 0
		switch {
		case v.Type() == reflect.TypeFor[[]party.PersonID]():
			v.Set(reflect.ValueOf([]party.PersonID{party.PersonID(somebody), party.PersonID(walker)}))
			want = 1
			people++
		case v.Type() == reflect.TypeFor[[]string]():
			v.Set(reflect.ValueOf([]string{"persons", walker}))
			texts++
		case v.Kind() == reflect.String && f.name != "ID":
			v.SetString(walker)
			texts++
		default:
			continue
		}
		if _, err := db.Append(ctx, h.ID, []party.Event{e}, now); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		own, err := db.OwnRecords(ctx, walker)
		if err != nil || len(own.Roll) != want {
			t.Errorf("an id in %s: %d records, %v; want %d", f.name, len(own.Roll), err, want)
		}
		checkForgotten(t, db, h.ID, walker, want == 1)
	}
	if people < 4 || texts < 10 {
		t.Errorf("%d lists of people and %d texts: fewer than an event has", people, texts)
	}
}

func mustOnList(t *testing.T, db *postgres.DB, id ref.Hike) string {
	t.Helper()
	s, err := db.SignUp(context.Background(), request(id, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	return s.ID
}

// checkForgotten forgets somebody who gave their place back. Their sign-up stays only if the
// roll names them.
func checkForgotten(t *testing.T, db *postgres.DB, id ref.Hike, walker string, stays bool) {
	t.Helper()
	ctx := context.Background()
	if _, err := db.ChangeSignUp(ctx, walker, now, (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if err := db.ForgetPerson(ctx, walker, now, rules.DefaultRules()); err != nil {
		t.Fatal(err)
	}
	if left := len(places(t, db, id)) == 2; left != stays {
		t.Errorf("the sign-up is there after it was forgotten: %v, want %v", left, stays)
	}
}

// A deletion that waits for its hike sees a hold that was set meanwhile.
func TestDeletionWaitsForItsHikeAndSeesTheHold(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	l := live(t, false)
	tx, err := l.db.Pool().Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback(ctx) }()
	if _, err := tx.Exec(ctx, `SELECT FROM hikes WHERE id = $1 FOR UPDATE`, l.hike.ID); err != nil {
		t.Fatal(err)
	}
	const hold = `INSERT INTO legal_holds (hike_id, because, by_whom, since) VALUES ($1, 'a claim', 'Juniper Vale', $2)`
	if _, err := tx.Exec(ctx, hold, l.hike.ID, l.closed); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() {
		_, err := l.db.DeleteDue(ctx, l.closed.Add(400*oneDay), l.rules, "the test")
		done <- err
	}()
	waitForLock(t, l.db)
	if err := tx.Commit(ctx); err != nil {
		t.Fatal(err)
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(leftAfter(), l.left(t)); diff != "" {
		t.Errorf("left under the hold (-want +got):\n%s", diff)
	}
}

// waitForLock returns once some statement waits for a lock.
func waitForLock(t *testing.T, db *postgres.DB) {
	t.Helper()
	for range 200 {
		var waits bool
		const ask = `SELECT EXISTS (
			SELECT FROM pg_stat_activity WHERE wait_event_type = 'Lock' AND datname = current_database()
		)`
		if err := db.Pool().QueryRow(context.Background(), ask).Scan(&waits); err != nil {
			t.Fatal(err)
		}
		if waits {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Error("the deletion does not wait for whoever holds its hike")
}
