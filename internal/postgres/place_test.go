package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// other changes every value in v.
func other(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		if v.Type() == reflect.TypeFor[ref.Person]() {
			v.SetString(uuid.NewString())
			return
		}
		v.SetString(v.String() + "x")
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Int, reflect.Int64:
		v.SetInt(v.Int() + 3)
	case reflect.Float64:
		v.SetFloat(v.Float() + 1.5)
	case reflect.Slice:
		e := reflect.New(v.Type().Elem()).Elem()
		other(e)
		v.Set(reflect.Append(v, e))
	case reflect.Uint8:
		v.SetUint(v.Uint() + 1)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(now.Add(time.Hour)))
			return
		}
		for i := range v.NumField() {
			other(v.Field(i))
		}
	default:
		panic("no other value for " + v.Type().String())
	}
}

// ChangeSignUp stores every change, or returns an error.
func TestEveryFieldOfASignUpIsStoredOrRefused(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	refused := []string{"ID", "Hike", "Order", "Needs", "Carded", "Asked", "ImportedBy", "Link"}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[signup.SignUp]()) {
		t.Run(f.Name, func(t *testing.T) {
			h := mustHike(t, db, 5)
			s, err := db.SignUp(ctx, request(h.ID, 1), now)
			if err != nil {
				t.Fatal(err)
			}
			want := s
			_, err = db.ChangeSignUp(ctx, s.ID, now, func(s *signup.SignUp) error {
				s.Link = slices.Clone(s.Link) // so that the copy outside keeps its own
				other(reflect.ValueOf(s).Elem().FieldByIndex(f.Index))
				want = *s
				return nil
			})
			if slices.Contains(refused, f.Name) {
				if want = s; err == nil {
					t.Errorf("a change of %s is no error", f.Name)
				}
			} else if err != nil {
				t.Errorf("a change of %s is refused: %v", f.Name, err)
			}
			got, err := db.SignUpByID(ctx, s.ID)
			if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); err != nil || diff != "" {
				t.Errorf("read back, %v (-want +got):\n%s", err, diff)
			}
		})
	}
}

// The list of hikes, and the check for the last place, count what SignUp.HoldsPlace says: for
// every state, held until later, until earlier, or without a limit.
func TestPlacesAreCountedAsTheDomainSays(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	held := map[string]time.Time{"until later": later, "until earlier": later.Add(-time.Hour), "without an end": {}}
	for _, state := range []signup.State{
		signup.Asked, signup.Offered, signup.Confirmed, signup.Waiting, signup.Withdrawn, signup.TurnedAway,
	} {
		for name, until := range held {
			t.Run(string(state)+" "+name, func(t *testing.T) {
				h := mustHike(t, db, 1)
				h.Meet, h.Start = later.Add(90*time.Hour), later.Add(91*time.Hour)
				err := db.ChangeHike(ctx, h.ID,
					func(c *hike.Hike) error {
						c.Meet, c.Start = h.Meet, h.Start
						return nil
					})
				if err != nil {
					t.Fatal(err)
				}
				s, err := db.SignUp(ctx, request(h.ID, 1), now)
				if err != nil {
					t.Fatal(err)
				}
				const set = `UPDATE signups SET state = $2, held_until = $3 WHERE id = $1`
				if _, err := db.Pool().Exec(ctx, set, s.ID, state, until); err != nil {
					t.Fatal(err)
				}
				checkCounts(t, db, h, signup.SignUp{State: state, HeldUntil: until})
			})
		}
	}
}

// later is far enough from the clock of the database, which lists use.
var later = time.Now().Add(30 * time.Minute).Truncate(time.Second)

func checkCounts(t *testing.T, db *postgres.DB, h hike.Hike, s signup.SignUp) {
	t.Helper()
	one := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	at := time.Now()
	want := hike.Listed{Confirmed: one(s.State == signup.Confirmed), Waiting: one(s.State == signup.Waiting)}
	want.Held = one(s.HoldsPlace(at)) - want.Confirmed
	list, err := db.Hikes(context.Background(), h.Start, h.Start.Add(time.Second))
	got := slices.IndexFunc(list, func(l hike.Listed) bool { return l.Hike.ID == h.ID })
	if err != nil || got < 0 {
		t.Fatalf("listed %v, %v", list, err)
	}
	l := list[got]
	if l.Confirmed != want.Confirmed || l.Waiting != want.Waiting || l.Held != want.Held {
		t.Errorf("listed %d confirmed, %d waiting, %d held; want %d, %d, %d",
			l.Confirmed, l.Waiting, l.Held, want.Confirmed, want.Waiting, want.Held)
	}
	next, err := db.SignUp(context.Background(), request(h.ID, 2), at)
	free := !s.HoldsPlace(at) && s.State != signup.Waiting
	if err != nil || (next.State == signup.Confirmed) != free {
		t.Errorf("the next to ask is %s, %v; want confirmed: %v", next.State, err, free)
	}
}

// kept counts what a change of places leaves in the database.
type kept struct {
	places, mails, links, numbers int
}

func keptOf(t *testing.T, db *postgres.DB) (k kept) {
	t.Helper()
	err := db.Pool().QueryRow(context.Background(), `
		SELECT
			(SELECT count(*) FROM signups WHERE state <> 'waiting'),
			(SELECT count(*) FROM outbox),
			(SELECT count(*) FROM links),
			(SELECT count(*) FROM calendar_entries)`).Scan(&k.places, &k.mails, &k.links, &k.numbers)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// composer writes a mail for each changed sign-up, and stores a link and a calendar number in
// the transaction. Then it does what a test asks for.
func composer(db *postgres.DB, then func(context.Context, []message.Mail) ([]message.Mail, error)) hike.Mails {
	return func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error) {
		var mails []message.Mail
		for _, s := range changed {
			_, hash, err := account.NewLink(bytes.NewReader([]byte(fmt.Sprintf("%-40s", s.ID))))
			if err != nil {
				return nil, err
			}
			link := account.Link{Hash: hash, Target: account.PlaceTarget(s.ID), Expires: later}
			if err := db.AccountStore().AddLink(ctx, link); err != nil {
				return nil, err
			}
			if _, err := db.Number(ctx, now, calendar.Event{UID: s.ID}); err != nil {
				return nil, err
			}
			mails = append(mails, message.Mail{Key: "place/" + s.ID, To: s.Email, Subject: "Your place", Text: "text"})
		}
		return then(ctx, mails)
	}
}

// Every method that changes places stores its mails with the change. If the outbox cannot be
// written, the composer fails, or the request is canceled, nothing is stored.
func TestPlacesAndTheirMailsAreKeptTogether(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(context.Background())
	failures := map[string]func(context.Context, []message.Mail) ([]message.Mail, error){
		"the outbox takes no such text": func(_ context.Context, mails []message.Mail) ([]message.Mail, error) {
			mails[0].Text = "a zero byte: \x00"
			return mails, nil
		},
		"the mail cannot be written": func(context.Context, []message.Mail) ([]message.Mail, error) {
			return nil, errors.New("no words")
		},
		"the request is cancelled": func(_ context.Context, mails []message.Mail) ([]message.Mail, error) {
			cancel()
			return mails, nil
		},
	}
	for _, way := range waysToChange() {
		t.Run(way.name, func(t *testing.T) {
			db, _ := open(t)
			change := way.prepare(t, db)
			before := keptOf(t, db)
			for name, fail := range failures {
				ctx, cancel = context.WithCancel(context.Background())
				if err := change(ctx, composer(db, fail)); err == nil {
					t.Errorf("%s: no error", name)
				}
				cancel()
				if after := keptOf(t, db); after != before {
					t.Fatalf("%s: kept %+v, want as before: %+v", name, after, before)
				}
			}
			sent := func(_ context.Context, mails []message.Mail) ([]message.Mail, error) { return mails, nil }
			if err := change(context.Background(), composer(db, sent)); err != nil {
				t.Fatal(err)
			}
			after := keptOf(t, db)
			after.places -= before.places
			if want := (kept{way.moves, way.mails, way.mails, way.mails}); after != want {
				t.Errorf("with mails that can be sent: kept %+v, want %+v", after, want)
			}
		})
	}
}

// wayToChange is a method that changes places. Prepare returns it ready to be called.
type wayToChange struct {
	name string
	// moves is how many sign-ups stop waiting or are new, mails how many people are told.
	moves, mails int
	prepare      func(*testing.T, *postgres.DB) func(context.Context, hike.Mails) error
}

func waysToChange() []wayToChange {
	return []wayToChange{
		{"a sign-up", 1, 1, func(t *testing.T, db *postgres.DB) func(context.Context, hike.Mails) error {
			s := request(mustHike(t, db, 1).ID, 1)
			return func(ctx context.Context, mails hike.Mails) error {
				_, err := db.SignUp(ctx, s, now, mails)
				return err
			}
		}},
		{"a list brought in", 2, 2, func(t *testing.T, db *postgres.DB) func(context.Context, hike.Mails) error {
			h := mustHike(t, db, 2)
			list := []signup.SignUp{request(h.ID, 1), request(h.ID, 2)}
			return func(ctx context.Context, mails hike.Mails) error {
				_, err := db.ImportSignUps(ctx, h.ID, list, now, mails)
				return err
			}
		}},
		{"a place given back", 1, 2, func(t *testing.T, db *postgres.DB) func(context.Context, hike.Mails) error {
			full := mustFill(t, db)
			return func(ctx context.Context, mails hike.Mails) error {
				_, err := db.ChangeSignUp(ctx, full[0].ID, now, (*signup.SignUp).Withdraw, mails)
				return err
			}
		}},
		{"a place that came free", 1, 1, func(t *testing.T, db *postgres.DB) func(context.Context, hike.Mails) error {
			full := mustFill(t, db)
			more := func(h *hike.Hike) error {
				h.Places++
				return nil
			}
			if err := db.ChangeHike(context.Background(), full[0].Hike, more); err != nil {
				t.Fatal(err)
			}
			return func(ctx context.Context, mails hike.Mails) error {
				_, err := db.ServePlaces(ctx, full[0].Hike, now, mails)
				return err
			}
		}},
		{"a no to what was decided", 1, 2, func(t *testing.T, db *postgres.DB) func(context.Context, hike.Mails) error {
			full := mustFill(t, db)
			hash := bytes.Repeat([]byte("l"), 32)
			tell := func(*hike.Hike, []signup.SignUp) (hike.Announcing, []message.Mail, error) {
				var news hike.Announcing
				news.Telling = hike.Announcement{At: now, By: "Juniper Vale", Outcome: hike.Goes}
				news.To = []hike.Recipient{{SignUp: full[0].ID, Link: hash}}
				return news, nil, nil
			}
			if err := db.ChangeAndAnnounce(context.Background(), full[0].Hike, now, tell); err != nil {
				t.Fatal(err)
			}
			return func(ctx context.Context, mails hike.Mails) error {
				_, err := db.MarkRead(ctx, hash, now, func(_ hike.Announcement, s *signup.SignUp) { _ = s.Withdraw() },
					mails)
				return err
			}
		}},
	}
}

// mustFill stores a hike with one place, taken by the first of two people.
func mustFill(t *testing.T, db *postgres.DB) []signup.SignUp {
	t.Helper()
	h := mustHike(t, db, 1)
	var list []signup.SignUp
	for i := range 2 {
		s, err := db.SignUp(context.Background(), request(h.ID, i), now)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return list
}

// Mails are written with the connection that holds the lock. With another one, as many
// simultaneous sign-ups as there are connections would deadlock.
func TestManySignUpsAtOnceWriteTheirMails(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	_, dsn := open(t)
	db, err := postgres.Open(ctx, dsn+" pool_max_conns=2")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	h := mustHike(t, db, 5)
	write := composer(db, func(ctx context.Context, mails []message.Mail) ([]message.Mail, error) {
		_, err := db.House(ctx)
		return mails, err
	})
	const people = 20
	var wg sync.WaitGroup
	errs := make([]error, people)
	for i := range people {
		wg.Go(func() { _, errs[i] = db.SignUp(ctx, request(h.ID, i), now, write) })
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	if k := keptOf(t, db); k.mails != people {
		t.Errorf("%d mails, want %d", k.mails, people)
	}
}
