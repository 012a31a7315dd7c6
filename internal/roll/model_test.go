package roll_test

import (
	"fmt"
	"os"
	"reflect"
	"runtime/debug"
	"slices"
	"strconv"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
)

// The model test plays mornings in which two or three phones with wrong clocks and poor
// signal send events to a server that dies. It compares the result with a simple reference
// over everything that was ever recorded. A seed always plays the same morning:
//
//	SALTBUSH_MODEL_SEED=123 go test ./internal/roll -run TestModel
//
// SALTBUSH_LONG=1 plays ten thousand seeds, SALTBUSH_MODEL_RUNS another number.
const (
	modelRuns  = 500
	modelLong  = 10_000
	modelSteps = 40
)

func TestModel(t *testing.T) {
	first, runs := uint64(1), modelRuns
	if os.Getenv("SALTBUSH_LONG") != "" {
		runs = modelLong
	}
	if text := os.Getenv("SALTBUSH_MODEL_RUNS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("SALTBUSH_MODEL_RUNS: %v", err)
		}
		runs = n
	}
	if text := os.Getenv("SALTBUSH_MODEL_SEED"); text != "" {
		seed, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			t.Fatalf("SALTBUSH_MODEL_SEED: %v", err)
		}
		first, runs = seed, 1
	}
	// With many small mornings the garbage collector would take as long as they do.
	defer debug.SetGCPercent(debug.SetGCPercent(800))
	kinds := map[party.Kind]int{}
	states := map[string]int{}
	records := 0
	for seed := first; seed < first+uint64(runs); seed++ {
		w := play(seed, sound)
		if wrong := w.judge(); len(wrong) > 0 {
			t.Fatalf("SALTBUSH_MODEL_SEED=%d: %d things wrong, the first: %s", seed, len(wrong), wrong[0])
		}
		for _, m := range w.book.made {
			kinds[m.event.Kind]++
		}
		states[string(w.server.hike.State)]++
		records += len(w.book.made)
	}
	t.Logf("%d mornings, %d records; hikes end %v", runs, records, states)
	if runs >= modelRuns && (len(kinds) != len(modelKinds()) || len(states) != 4) {
		t.Errorf("the mornings hold %d kinds of record and end in %v: too tame", len(kinds), states)
	}
}

func play(seed uint64, f fault) *world {
	w := newWorld(seed, f)
	for i := range modelSteps {
		w.check(w.step(float64(i) / modelSteps))
	}
	w.settle()
	return w
}

// check verifies that a phone keeps showing everybody on the roster, and the walk-ups that
// it recorded itself.
func (w *world) check(p *phone) {
	view := p.view()
	for _, e := range w.server.roster {
		if view[e.ID] == "" {
			w.wrong = append(w.wrong, p.name+"'s phone does not show "+e.Name)
		}
	}
	for _, m := range w.book.made {
		if m.event.Kind == party.KindJoined && m.by == p.name && !w.refusedBy(m) && !w.everUndone(m.event.ID) &&
			view[m.event.Persons[0]] == "" {
			w.wrong = append(w.wrong, p.name+"'s phone does not show a walk-up whom it wrote down")
		}
	}
}

func (w *world) everUndone(id party.EventID) bool {
	return slices.ContainsFunc(w.book.made, func(m made) bool { return m.event.Retracts == id })
}

// judge lists what is wrong at the end of the morning.
func (w *world) judge() []string {
	wrong := slices.Clone(w.wrong)
	wrong = append(wrong, w.judgeRecords()...)
	want := w.book.reckon(w.server.roster, table())
	if w.closed {
		want.State = string(hike.Closed)
	}
	got := outcomeOf(party.Fold(w.server.roster, w.server.rows), string(w.server.hike.State))
	if got.Searched && want.Searched {
		if !want.Trouble.IsZero() && (got.Trouble.IsZero() || got.Trouble.After(want.Trouble)) {
			wrong = append(wrong, fmt.Sprintf("help is called for at %s, though it was asked for at %s",
				got.Trouble, want.Trouble))
		}
		got.Trouble = want.Trouble
	}
	if !reflect.DeepEqual(want, got) {
		wrong = append(wrong, fmt.Sprintf("the server says\n%+v\nwant\n%+v", got, want))
	}
	for _, p := range w.phones {
		view := map[party.PersonID]string{}
		for id, where := range p.view() {
			view[id] = short(where)
		}
		if !reflect.DeepEqual(want.Where, view) || len(p.overlay()) > 0 {
			wrong = append(wrong, fmt.Sprintf("%s's phone says\n%v\nwant\n%v", p.name, view, want.Where))
		}
	}
	return wrong
}

// judgeRecords verifies that every event is stored once, as it was made, at about its time.
func (w *world) judgeRecords() []string {
	var wrong []string
	times := map[party.EventID]int{}
	for _, r := range w.server.rows {
		times[r.ID]++
		i, known := w.book.index[r.ID]
		if !known {
			wrong = append(wrong, fmt.Sprintf("record %s was never made", r.ID))
			continue
		}
		wrong = append(wrong, w.book.made[i].against(r)...)
	}
	for _, m := range w.book.made {
		if want := tick(m.kept); times[m.event.ID] != want {
			wrong = append(wrong, fmt.Sprintf("%s of %s is there %d times, want %d",
				m.event.Kind, m.by, times[m.event.ID], want))
		}
		if !m.kept && !w.refusedBy(m) {
			wrong = append(wrong, fmt.Sprintf("%s of %s is neither on the server nor refused on the phone",
				m.event.Kind, m.by))
		}
	}
	return wrong
}

// refusedBy reports whether the phone that made an event shows it as refused: an event that
// is invalid, or that arrived after the roll was closed.
func (w *world) refusedBy(m made) bool {
	if !m.bad && !w.closed {
		return false
	}
	i := slices.IndexFunc(w.phones, func(p *phone) bool { return p.name == m.by })
	return slices.ContainsFunc(w.phones[i].entries,
		func(e entry) bool { return e.event.ID == m.event.ID && e.state == "refused" })
}

// against compares a stored row with the event as it was made. A clock may be two minutes
// off without being corrected, and a request may take one minute.
func (m made) against(r party.Event) []string {
	var wrong []string
	if off := r.At.Sub(m.truth).Abs(); off > 3*time.Minute {
		wrong = append(wrong, fmt.Sprintf("%s of %s is %s off the time at which it happened", r.Kind, r.By, off))
	}
	if !r.At.Equal(m.stored) {
		wrong = append(wrong, fmt.Sprintf("%s of %s is at %s, its first arrival makes it %s",
			r.Kind, r.By, r.At, m.stored))
	}
	want := m.event
	want.By, want.At, want.DeviceAt, want.Recorded = m.by, r.At, r.DeviceAt, r.Recorded
	want.Against = r.Against // the server's own note on a departure
	if !reflect.DeepEqual(want, r) {
		wrong = append(wrong, fmt.Sprintf("kept as %+v, made as %+v", r, want))
	}
	return wrong
}

func outcomeOf(s party.State, state string) outcome {
	o := outcome{Where: map[party.PersonID]string{}, Names: map[party.PersonID]string{}, Departed: s.Departed,
		Trouble: s.TroubleAt, StoodOff: s.StoodDown,
		Delay: s.Delay, Unnamed: s.Unnamed, State: state, Searched: len(s.Searches) > 0}
	for _, p := range s.People {
		o.Where[p.ID], o.Names[p.ID] = short(p.Where), p.Name
		if p.Unknown {
			o.Names[p.ID] = ""
		}
	}
	return o
}

func short(w party.Whereabouts) string {
	return map[party.Whereabouts]string{party.WhereExpected: "expected", party.WhereHere: "here",
		party.WhereAbsent:     "absent",
		party.WhereTurnedAway: "turned", party.WhereOut: "out", party.WhereLeftEarly: "left", party.WhereAtCar: "car",
		party.WhereBack: "back", party.WhereHandedOver: "handed"}[w]
}

// The model test must find each mistake built into the simulation within a few mornings, or
// it could not fail.
func TestModelSeesFaults(t *testing.T) {
	for _, f := range []fault{storeKeepsTwice, lastWriteWins, noTransaction, phoneForgets, newIDsOnRetry,
		clockNotMeasured, phoneDropsKept} {
		t.Run(string(f), func(t *testing.T) {
			for seed := uint64(1); seed <= 200; seed++ {
				if wrong := play(seed, f).judge(); len(wrong) > 0 {
					t.Logf("seen at seed %d: %.200s", seed, wrong[0])
					return
				}
			}
			t.Error("not seen in 200 mornings")
		})
	}
}

func TestModelReplays(t *testing.T) {
	a, b := play(7, sound), play(7, sound)
	if !reflect.DeepEqual(a.server.rows, b.server.rows) || !reflect.DeepEqual(a.book.made, b.book.made) {
		t.Error("one seed gave two mornings")
	}
}
