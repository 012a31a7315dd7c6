package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
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
	"saltbush/internal/retention/plant"
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

// life is a hike that was closed, with a planted word in every field of every class.
type life struct {
	db     *postgres.DB
	dsn    string
	hike   hike.Hike
	closed time.Time
	rules  rules.Rules
	adult  string
}

// People is how many sign-ups a life has.
const people = 3

// word is what is planted on the roll where it holds something of a class.
func word(k retention.DataClass) string { return "planted-" + string(k[:4]) }

func live(t *testing.T, trouble bool) life {
	t.Helper()
	ctx := context.Background()
	l := life{rules: rules.DefaultRules()}
	l.rules.KeepMedical, l.rules.KeepPlates = 10*oneDay, 14*oneDay // so that each class has a day of its own
	l.db, l.dsn = sealing(t)
	l.hike = mustHike(t, l.db, 2)
	l.closed = l.hike.Start.Add(9 * time.Hour)
	l.adult = l.ask(t, 1, false)
	l.ask(t, 2, true)
	l.ask(t, 3, false) // waits, and never has a place
	l.walk(t, trouble)
	if err := l.db.Outbox().Queue(ctx, now, message.Mail{To: "a@example.org", Key: "k"}); err != nil {
		t.Fatal(err)
	}
	l.plantBeside(t)
	err := l.db.ChangeHike(ctx, l.hike.ID, func(h *hike.Hike) error { h.State = hike.Closed; return nil })
	if err != nil {
		t.Fatal(err)
	}
	l.sql(t, `UPDATE hikes SET closed = $2 WHERE id = $1`, l.hike.ID, l.closed)
	return l
}

// plantBeside plants in the tables beside that of the sign-ups.
func (l life) plantBeside(t *testing.T) {
	t.Helper()
	l.sql(t, `INSERT INTO rides (hike_id, person, shares, town, car, told)
		VALUES ($1, $2, $3, 'planted rides.town', '{"Plate": "planted rides.car"}', 'planted rides.told')`,
		l.hike.ID, l.adult, now)
	l.sql(t, `INSERT INTO day_links (hash, hike_id, name, part, made, made_by, expires)
		VALUES ('x', $1, 'planted day_links.name', 'sweep', $2, 'x', $2)`, l.hike.ID, now)
	l.sql(t, `INSERT INTO links (hash, purpose, subject, expires) VALUES ('planted', 'place', $1, $2)`, l.adult, now)
	l.sql(t, `
		WITH told AS (
			INSERT INTO announcements (hike_id, at, by_whom, outcome, words, consent)
			VALUES ($1, $3, 'x', 'go', 'x', false) RETURNING id
		)
		INSERT INTO announcement_recipients (announcement_id, signup_id, link, reminder, read)
		SELECT id, $2, 'x', '', $3 FROM told`, l.hike.ID, l.adult, now)
	l.sql(t, `
		UPDATE outbox SET
			recipient = 'planted outbox.recipient', subject = 'planted outbox.subject', body = 'planted outbox.body',
			attached = '[{"Name": "planted outbox.attached"}]', last_error = 'planted outbox.last_error',
			state = 'sent'`)
}

func (l life) sql(t *testing.T, sql string, args ...any) {
	t.Helper()
	if _, err := l.db.Pool().Exec(context.Background(), sql, args...); err != nil {
		t.Fatal(err)
	}
}

// ask signs somebody up, and then plants a word in each of their fields.
func (l life) ask(t *testing.T, n int, minor bool) string {
	t.Helper()
	ctx := context.Background()
	s, first, planting := request(l.hike.ID, n), signup.SignUp{}, signup.SignUp{}
	plant.Fill(&first, 1)
	plant.Fill(&planting, n)
	s.Minor, s.Adult, s.Needs = minor, first.Name, planting.Needs
	s.Acknowledged, s.RiskVersion, s.RiskAccepted = true, "v1", now
	got, err := l.db.SignUp(ctx, s, now)
	if err != nil {
		t.Fatal(err)
	}
	_, err = l.db.ChangeSignUp(ctx, got.ID, now, func(s *signup.SignUp) error {
		needs := s.Needs // sealed: no change touches it
		plant.Fill(s, n)
		s.Needs, s.Car.Seats = needs, 3
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range retention.Fields() {
		if f.Stored() && f.At == nil {
			l.sql(t, `UPDATE signups SET `+f.Column+` = $2 WHERE id = $1`, got.ID, plant.Word(f, n))
		}
	}
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

// left says what the database still holds: fields of sign-ups by their names, words of the roll
// and of messages, and tables whose rows are deleted whole. Waivers are for waiversGo.
func (l life) left(t *testing.T) map[string]bool {
	t.Helper()
	dump := wholeDump(t, l.dsn)
	waivers := regexp.MustCompile(`(?m)^INSERT INTO public.waivers .*\n`)
	text := waivers.ReplaceAll(dump, nil)
	left := map[string]bool{}
	for _, f := range retention.Fields() {
		if f.Planted == "" || f.Table != "" {
			continue
		}
		for n := range people {
			left[f.Name] = left[f.Name] || bytes.Contains(text, []byte(plant.Word(f, n+1)))
		}
	}
	for _, k := range []retention.DataClass{retention.Plates, retention.Contacts, retention.Names} {
		left["roll "+string(k)] = bytes.Contains(text, []byte(word(k)))
	}
	for _, c := range retention.Columns() {
		switch {
		case c.Class == retention.Messages:
			left[c.Table+"."+c.Name] = bytes.Contains(text, []byte("planted "+c.Table+"."+c.Name))
		case c.Rows:
			left["table "+c.Table] = bytes.Contains(text, []byte("INTO public."+c.Table+" "))
		}
	}
	return left
}

// classes says of what class each thing is that left looks for.
func classes() map[string]retention.DataClass {
	of := map[string]retention.DataClass{}
	for _, f := range retention.Fields() {
		if f.Planted != "" && f.Table == "" {
			of[f.Name] = f.Class
		}
	}
	for _, k := range []retention.DataClass{retention.Plates, retention.Contacts, retention.Names} {
		of["roll "+string(k)] = k
	}
	for _, c := range retention.Columns() {
		switch {
		case c.Class == retention.Messages:
			of[c.Table+"."+c.Name] = c.Class
		case c.Rows:
			of["table "+c.Table] = c.Class
		}
	}
	return of
}

// leftAfter is what is to be left once some classes have gone.
func leftAfter(gone ...retention.DataClass) map[string]bool {
	left := map[string]bool{}
	for what, class := range classes() {
		left[what] = !slices.Contains(gone, class)
	}
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

func TestEachClassGoesOnItsDay(t *testing.T) {
	t.Parallel()
	l := live(t, false)
	before := l.numbers(t)
	var gone []retention.DataClass
	check := func(when string) {
		t.Helper()
		if diff := cmp.Diff(leftAfter(gone...), l.left(t)); diff != "" {
			t.Fatalf("%s the database holds (-want +got):\n%s", when, diff)
		}
		if diff := cmp.Diff(before, l.numbers(t), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s the roll counts otherwise (-before +after):\n%s", when, diff)
		}
	}
	check("on closing")
	for _, class := range []retention.DataClass{retention.Cards, retention.Plates, retention.Contacts, retention.Names} {
		day := l.closed.Add(retention.KeepFor(l.rules, class))
		l.retire(t, day.Add(-oneDay))
		if class == retention.Contacts {
			gone = append(gone, retention.Messages) // by their own age, older than the hike
		}
		check("a day before the " + string(class))
		done := l.retire(t, day)
		if goneOf(done, class) == 0 {
			t.Errorf("the run does not say that it deleted %s: %+v", class, done)
		}
		gone = append(gone, class)
		check("on the day of the " + string(class))
		l.checkCleared(t, gone)
	}
	l.waiversGo(t)
}

// checkCleared looks at the fields that hold no text: no word can be planted in them.
func (l life) checkCleared(t *testing.T, gone []retention.DataClass) {
	t.Helper()
	for _, s := range places(t, l.db, l.hike.ID) {
		for _, f := range retention.Fields() {
			if f.At == nil || f.Table != "" || f.Column == "name" || f.Column == "link" {
				continue // a name and a link are replaced by others
			}
			if v := reflect.ValueOf(f.Value(s)); slices.Contains(gone, f.Class) && !v.IsZero() {
				t.Errorf("%s is still %v when %s have gone", f.Name, v, f.Class)
			}
		}
	}
}

// waiversGo follows the names into what a claim needs, and to its end.
func (l life) waiversGo(t *testing.T) {
	t.Helper()
	kept := func() (n, minors int) {
		err := l.db.Pool().QueryRow(context.Background(), `
			SELECT count(*), count(*) FILTER (WHERE minor)
			FROM waivers WHERE name LIKE 'Zephyrine %' OR name LIKE 'planted-name%'`).Scan(&n, &minors)
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
	if text := wholeDump(t, l.dsn); bytes.Contains(text, []byte("Zephyrine")) || bytes.Contains(text, []byte("planted")) {
		t.Error("the dump holds a planted word after everything has gone")
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
	want := leftAfter(retention.Cards, retention.Plates, retention.Contacts, retention.Names, retention.Messages)
	if diff := cmp.Diff(want, l.left(t)); diff != "" {
		t.Errorf("left after the hold (-want +got):\n%s", diff)
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
	if holds, _ := l.db.Holds(ctx); len(holds) != 1 || holds[0].Lifted.IsZero() || l.left(t)["email"] {
		t.Errorf("after it was lifted: %+v", holds)
	}
}

func TestNothingGoesFromAHikeThatIsNotClosed(t *testing.T) {
	t.Parallel()
	l := live(t, false)
	for _, state := range []hike.State{hike.Out, hike.Back} {
		l.sql(t, `UPDATE hikes SET state = $2, closed = NULL WHERE id = $1`, l.hike.ID, state)
		l.retire(t, l.closed.Add(time.Duration(500+len(state))*oneDay))
		want := leftAfter(retention.Messages) // which go by their own age
		if diff := cmp.Diff(want, l.left(t)); diff != "" {
			t.Errorf("%s: left (-want +got):\n%s", state, diff)
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
