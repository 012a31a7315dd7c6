package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/retention"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

const oneDay = 24 * time.Hour

// goneOf counts what a run says that it deleted of one kind.
func goneOf(done []retention.Deletion, k retention.DataClass) (n int) {
	for _, d := range done {
		if d.Kind == k {
			n += d.Gone
		}
	}
	return n
}

// life is a hike that was closed, with a planted word in every field of every kind.
type life struct {
	db     *postgres.DB
	dsn    string
	hike   hike.Hike
	closed time.Time
	rules  rules.Rules
	adult  string
}

// word is what is planted in the fields of one kind.
func word(k retention.DataClass) string { return "planted-" + string(k[:4]) }

func live(t *testing.T, trouble bool) life {
	t.Helper()
	ctx := context.Background()
	l := life{rules: rules.DefaultRules()}
	l.rules.KeepMedical, l.rules.KeepPlates = 10*oneDay, 14*oneDay // so that each kind has a day of its own
	l.db, l.dsn = sealing(t)
	l.hike = mustHike(t, l.db, 2)
	l.closed = l.hike.Start.Add(9 * time.Hour)
	l.adult = l.ask(t, 1, false)
	l.ask(t, 2, true)
	l.ask(t, 3, false) // waits, and never has a place
	l.walk(t, trouble)
	l.sql(t, `INSERT INTO rides (hike_id, person, shares, town, car)
		VALUES ($1, $2, $3, 'planted-plat town', '{"Plate": "planted-plat"}')`, l.hike.ID, l.adult, now)
	l.sql(t, `INSERT INTO day_links (hash, hike_id, name, part, made, made_by, expires)
		VALUES ('x', $1, 'planted-cont sweep', 'sweep', $2, 'x', $2)`, l.hike.ID, now)
	l.sql(t, `INSERT INTO links (hash, purpose, subject, expires) VALUES ('planted', 'place', $1, $2)`, l.adult, now)
	m := message.Mail{To: "planted-mail@example.org", Subject: "planted-mail", Text: "planted-mail", Key: "k"}
	if err := l.db.Outbox().Queue(ctx, now, m); err != nil {
		t.Fatal(err)
	}
	l.sql(t, `UPDATE outbox SET state = 'sent'`)
	err := l.db.ChangeHike(ctx, l.hike.ID, func(h *hike.Hike) error { h.State = hike.Closed; return nil })
	if err != nil {
		t.Fatal(err)
	}
	l.sql(t, `UPDATE hikes SET closed = $2 WHERE id = $1`, l.hike.ID, l.closed)
	return l
}

func (l life) sql(t *testing.T, sql string, args ...any) {
	t.Helper()
	if _, err := l.db.Pool().Exec(context.Background(), sql, args...); err != nil {
		t.Fatal(err)
	}
}

func (l life) ask(t *testing.T, n int, minor bool) string {
	t.Helper()
	s := request(l.hike.ID, n)
	c, names, plate := word(retention.Contacts), word(retention.Names), word(retention.Plates)
	s.Name, s.Guardian, s.Adult = names+" name", names+" guardian", names+" name"
	s.Email, s.Mobile, s.EmergencyName, s.EmergencyPhone = c, c, c, c
	s.ContactEmail, s.GuardianPhone, s.LongestWalk = c, c, c
	s.Car = signup.Car{Plate: plate, Make: plate, Colour: plate, Seats: 3, Lot: plate}
	s.Minor, s.Acknowledged, s.RiskVersion, s.RiskAccepted, s.Needs = minor, true, "v1", now, "some words"
	got, err := l.db.SignUp(context.Background(), s, now)
	if err != nil {
		t.Fatal(err)
	}
	l.sql(t, `
		UPDATE signups
		SET because = 'planted-cont', screening = '{"x": "planted-cont"}', self_report = '{"x": "planted-cont"}'
		WHERE id = $1`, got.ID)
	return got.ID
}

// walk is the roll of the day: a walk-up, a car, a count and a message.
func (l life) walk(t *testing.T, trouble bool) {
	t.Helper()
	at := func(m int) time.Time { return l.hike.Start.Add(time.Duration(m) * time.Minute) }
	walkUp := roll.PersonID(uuid.NewString())
	adult := []roll.PersonID{roll.PersonID(l.adult)}
	names := word(retention.Names)
	events := []roll.Event{
		{Kind: roll.KindHere, At: at(-20), Persons: adult},
		{
			Kind:    roll.KindJoined,
			At:      at(-10),
			Persons: []roll.PersonID{walkUp},
			Name:    names + " walk-up",
			Contact: "planted-cont",
			Note:    "planted-cont",
			Agreed:  true,
		},
		{Kind: roll.KindPlate, At: at(-5), Persons: adult, Plates: []string{"planted-plat"}},
		{
			Kind:    roll.KindDeparted,
			At:      at(0),
			Persons: append(adult, walkUp),
			Number:  2,
			Note:    names + " note",
			Against: []string{names + " against"},
		},
		{Kind: roll.KindCounted, At: at(60), Number: 2, Place: "Fork", SeenBy: names},
		{Kind: roll.KindReported, At: at(70), Note: names + " report", To: names, Trouble: trouble},
		{Kind: roll.KindBack, At: at(300), Persons: append(adult, walkUp)},
		{Kind: roll.KindStoodDown, At: at(310)},
	}
	for i := range events {
		events[i].ID, events[i].By = roll.EventID(uuid.NewString()), names+" recorder"
	}
	if _, err := l.db.Append(context.Background(), l.hike.ID, events, at(320)); err != nil {
		t.Fatal(err)
	}
}

// left says which planted words a dump still holds.
func (l life) left(t *testing.T) map[string]bool {
	t.Helper()
	text := wholeDump(t, l.dsn)
	left := map[string]bool{}
	kinds := []retention.DataClass{retention.Plates, retention.Contacts, retention.Names}
	for _, w := range []string{word(kinds[0]), word(kinds[1]), word(kinds[2]), "planted-mail"} {
		left[w] = bytes.Contains(text, []byte(w))
	}
	left["card"] = bytes.Contains(text, []byte("INTO public.medical_cards"))
	return left
}

func (l life) numbers(t *testing.T) []any {
	t.Helper()
	rec, err := l.db.Record(context.Background(), l.hike.ID)
	if err != nil {
		t.Fatal(err)
	}
	s := rec.State()
	counts := s.Counts
	var where []roll.Whereabouts
	for _, p := range s.People {
		where = append(where, p.Where)
	}
	return []any{
		s.Out, s.Expected, s.Departed, s.StoodDown, s.AllAccounted, counts, len(s.Reports), where, len(rec.Events),
	}
}

func (l life) retire(t *testing.T, at time.Time) []retention.Deletion {
	t.Helper()
	done, err := l.db.DeleteDue(context.Background(), at, l.rules, "the test")
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func TestEachKindGoesOnItsDay(t *testing.T) {
	t.Parallel()
	l := live(t, false)
	before := l.numbers(t)
	want := map[string]bool{
		"card": true, "planted-plat": true, "planted-cont": true, "planted-name": true, "planted-mail": true,
	}
	check := func(when string) {
		t.Helper()
		if diff := cmp.Diff(want, l.left(t)); diff != "" {
			t.Fatalf("%s the dump holds (-want +got):\n%s", when, diff)
		}
		if diff := cmp.Diff(before, l.numbers(t), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s the roll counts otherwise (-before +after):\n%s", when, diff)
		}
	}
	check("on closing")
	for _, tt := range []struct {
		kind retention.DataClass
		word string
		keep time.Duration
	}{
		{retention.Cards, "card", l.rules.KeepMedical}, {retention.Plates, "planted-plat", l.rules.KeepPlates},
		{retention.Contacts, "planted-cont", l.rules.KeepContacts}, {retention.Names, "", l.rules.KeepNames},
	} {
		l.retire(t, l.closed.Add(tt.keep-oneDay))
		if tt.kind == retention.Contacts {
			want["planted-mail"] = false // by its own age, older than the hike
		}
		check("a day before the " + string(tt.kind))
		done := l.retire(t, l.closed.Add(tt.keep))
		if goneOf(done, tt.kind) == 0 {
			t.Errorf("the run does not say that it deleted %s: %+v", tt.kind, done)
		}
		if tt.word != "" {
			want[tt.word] = false
		}
		check("on the day of the " + string(tt.kind))
	}
	l.waiversGo(t)
}

// waiversGo follows the names into what a claim needs, and to its end.
func (l life) waiversGo(t *testing.T) {
	t.Helper()
	kept := func() (n, minors int) {
		err := l.db.Pool().QueryRow(context.Background(), `
			SELECT count(*), count(*) FILTER (WHERE minor)
			FROM waivers WHERE name LIKE 'planted-name%'`).Scan(&n, &minors)
		if err != nil {
			t.Fatal(err)
		}
		return n, minors
	}
	var elsewhere int
	err := l.db.Pool().QueryRow(context.Background(), `
		SELECT (SELECT count(*) FROM signups s WHERE s::text LIKE '%planted%')
			+ (SELECT count(*) FROM roll_events e WHERE e::text LIKE '%planted%')`).Scan(&elsewhere)
	if err != nil || elsewhere != 0 {
		t.Errorf("%d rows hold planted words beside the waivers, %v", elsewhere, err)
	}
	if n, minors := kept(); n != 3 || minors != 1 {
		t.Errorf("%d waivers, %d of minors; want the adult's, the minor's and the walk-up's", n, minors)
	}
	l.retire(t, l.closed.Add(l.rules.KeepWaivers-oneDay))
	if n, _ := kept(); n != 3 {
		t.Errorf("%d waivers a day before their time", n)
	}
	l.retire(t, l.closed.Add(l.rules.KeepWaivers))
	if n, minors := kept(); n != 1 || minors != 1 {
		t.Errorf("%d waivers, %d of minors, after the adults' time", n, minors)
	}
	grown := l.closed.AddDate(18, 0, 0).Add(l.rules.KeepWaivers)
	l.retire(t, grown.Add(-oneDay))
	if n, _ := kept(); n != 1 {
		t.Errorf("the minor's waiver goes a day early")
	}
	l.retire(t, grown)
	if left := l.left(t)["planted-name"]; left {
		t.Error("the dump holds a name after everything has gone")
	}
}

func TestHoldKeepsAllUntilItIsLifted(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	l := live(t, false)
	if err := l.db.HoldHike(ctx, l.hike.ID, "a claim", "Juniper Vale", l.closed); err != nil {
		t.Fatal(err)
	}
	before := l.left(t)
	l.retire(t, l.closed.Add(400*oneDay))
	if diff := cmp.Diff(before, l.left(t)); diff != "" {
		t.Errorf("something went under a hold (-want +got):\n%s", diff)
	}
	if err := l.db.ForgetPerson(ctx, l.adult, l.closed.Add(401*oneDay), l.rules); !isRefusal(err) {
		t.Errorf("a person's wish under a hold: %v, want a refusal", err)
	}
	if err := l.db.LiftHold(ctx, l.hike.ID, " ", "Juniper Vale", l.closed.Add(401*oneDay)); err == nil {
		t.Error("a hold is lifted without a reason")
	}
	if err := l.db.LiftHold(ctx, l.hike.ID, "settled", "Juniper Vale", l.closed.Add(401*oneDay)); err != nil {
		t.Fatal(err)
	}
	l.retire(t, l.closed.Add(402*oneDay))
	if left := l.left(t); left["card"] || left["planted-plat"] || left["planted-cont"] || left["planted-mail"] {
		t.Errorf("left after the hold: %v", left)
	}
	lines, err := l.db.Audit(ctx, 50)
	said := map[string]bool{}
	for _, a := range lines {
		said[a.What] = true
	}
	if err != nil || !said["hold set"] || !said["hold lifted"] || !said["deleted"] {
		t.Errorf("the log says %v, %v", said, err)
	}
}

func isRefusal(err error) bool {
	var refusal fault.Refusal
	return errors.As(err, &refusal)
}

func TestIncidentHoldsItself(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	l := live(t, true)
	holds, err := l.db.Holds(ctx)
	if err != nil || len(holds) != 1 || holds[0].By != retention.HoldMaker || !holds[0].Lifted.IsZero() {
		t.Fatalf("holds %+v, %v; want one that set itself", holds, err)
	}
	if err := l.db.LiftHold(ctx, l.hike.ID, "a mistaken tap", "Juniper Vale", l.closed); err != nil {
		t.Fatal(err)
	}
	l.retire(t, l.closed.Add(100*oneDay))
	if holds, _ := l.db.Holds(ctx); len(holds) != 1 || holds[0].Lifted.IsZero() || l.left(t)["planted-cont"] {
		t.Errorf("after it was lifted: %+v", holds)
	}
}

func TestNothingGoesFromAHikeThatIsNotClosed(t *testing.T) {
	t.Parallel()
	l := live(t, false)
	for _, state := range []hike.State{hike.Out, hike.Back} {
		l.sql(t, `UPDATE hikes SET state = $2, closed = NULL WHERE id = $1`, l.hike.ID, state)
		l.retire(t, l.closed.Add(time.Duration(500+len(state))*oneDay))
		if left := l.left(t); !left["card"] || !left["planted-plat"] || !left["planted-cont"] || !left["planted-name"] {
			t.Errorf("%s: left %v", state, left)
		}
	}
	list, err := l.db.Cases(context.Background(), l.closed.Add(oneDay), l.rules)
	if err != nil || len(list) != 1 || !list[0].Closed.IsZero() {
		t.Errorf("listed %+v, %v", list, err)
	}
}

func TestManyInstancesDeleteOnceADay(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	l := live(t, false)
	at := l.closed.Add(100 * oneDay)
	var wg sync.WaitGroup
	got := make([]int, 4)
	errs := make([]error, 4)
	for i := range got {
		wg.Go(func() {
			done, err := l.db.DeleteDue(ctx, at.Add(time.Duration(i)*time.Second), l.rules, fmt.Sprint("instance ", i))
			got[i], errs[i] = len(done), err
		})
	}
	wg.Wait()
	runs := 0
	for _, n := range got {
		if n > 0 {
			runs++
		}
	}
	if err := errors.Join(errs...); err != nil || runs != 1 {
		t.Errorf("%d of 4 did the run, %v: %v", runs, err, got)
	}
	list, err := l.db.Deletions(ctx, 50)
	seen := map[retention.DataClass]int{}
	for _, d := range list {
		seen[d.Kind]++
	}
	want := map[retention.DataClass]int{
		retention.Cards:    1,
		retention.Plates:   1,
		retention.Contacts: 1,
		retention.Messages: 1,
	}
	if diff := cmp.Diff(want, seen); err != nil || diff != "" {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}
}

func TestLogsOfDeletionsAreNeverChanged(t *testing.T) {
	t.Parallel()
	l := live(t, false)
	l.retire(t, l.closed.Add(20*oneDay))
	line := retention.LogEntry{At: now, By: "A", What: "export", About: "x"}
	if err := l.db.Note(context.Background(), line); err != nil {
		t.Fatal(err)
	}
	for _, sql := range []string{
		`UPDATE deletions SET gone = 0`, `DELETE FROM deletions`, `TRUNCATE deletions`,
		`UPDATE audit_log SET by_whom = ''`, `DELETE FROM audit_log`, `TRUNCATE audit_log`,
	} {
		if _, err := l.db.Pool().Exec(context.Background(), sql); err == nil {
			t.Errorf("%s is done", sql)
		}
	}
}
