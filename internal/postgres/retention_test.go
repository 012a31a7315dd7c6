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

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/retention"
)

const oneDay = 24 * time.Hour

// goneOf counts what a run reports as deleted of one class.
func goneOf(done []retention.Deletion, k retention.DataClass) (n int) {
	for _, d := range done {
		if d.Kind == k {
			n += d.Gone
		}
	}
	return n
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
	for _, class := range []retention.DataClass{
		retention.Cards, retention.Plates, retention.Contacts, retention.Names,
	} {
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
	l.checkWaivers(t)
}

// checkCleared checks the fields without text, where no word can be planted.
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

// checkWaivers follows the names into the waivers until those expire.
func (l life) checkWaivers(t *testing.T) {
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
	if text := wholeDump(t, l.dsn); bytes.Contains(text, []byte("Zephyrine")) ||
		bytes.Contains(text, []byte("planted")) {
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
