package main

import (
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// answered is what the site says to a batch.
type answered struct {
	Kept    []roll.EventID
	Refused []struct {
		ID  roll.EventID
		Why string
	}
}

// send posts a batch as a phone does and returns the status with the answer.
func (p staffed) send(t *testing.T, c *http.Client, body any) (int, answered) {
	t.Helper()
	text, ok := body.(string)
	if !ok {
		b, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		text = string(b)
	}
	res, err := c.Post(p.base+rollOne+"/events", "application/json", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	var a answered
	if res.StatusCode == http.StatusOK {
		if err := json.NewDecoder(res.Body).Decode(&a); err != nil {
			t.Fatal(err)
		}
	}
	return res.StatusCode, a
}

type fields map[string]any

// morning is a roll call, a departure and a count, in the order in which they happened.
func morning(rec roll.Record, at time.Time) []roll.Event {
	var all []roll.PersonID
	for _, e := range rec.Roster {
		all = append(all, e.ID)
	}
	id := func() roll.EventID { return roll.EventID(uuid.NewString()) }
	return []roll.Event{
		{ID: id(), Kind: roll.KindHere, At: at, Persons: all},
		{ID: id(), Kind: roll.KindDeparted, At: at.Add(20 * time.Minute), Persons: all, Number: len(all), Place: "trailhead"},
		{ID: id(), Kind: roll.KindCounted, At: at.Add(50 * time.Minute), Number: len(all), Place: "Notch Junction"},
	}
}

func idsOf(events []roll.Event) []roll.EventID {
	var ids []roll.EventID
	for _, e := range events {
		ids = append(ids, e.ID)
	}
	return ids
}

func TestBatchSentTwiceAndBackwardsChangesNothing(t *testing.T) {
	p := serveForTwo(t)
	c := p.signIn(t, "leads@example.org")
	events := morning(p.roll(t), time.Now().Add(-3*time.Hour))
	slices.Reverse(events)
	for range 2 {
		status, a := p.send(t, c, fields{"sent_at": time.Now(), "events": append(events, events[0])})
		if status != http.StatusOK || len(a.Refused) != 0 || !slices.Equal(a.Kept[:3], idsOf(events)) {
			t.Fatalf("status %d, answer %+v", status, a)
		}
	}
	rec := p.roll(t)
	state := rec.State()
	if len(rec.Events) != 3 || state.Expected != 5 || len(state.Flags) != 0 || rec.Hike.State != hike.Out {
		t.Errorf("%d records, %d expected, flags %+v, hike %s", len(rec.Events), state.Expected, state.Flags, rec.Hike.State)
	}
}

func TestBadRecordDoesNotHoldUpTheOthers(t *testing.T) {
	p := serveForTwo(t)
	c := p.signIn(t, "leads@example.org")
	good := morning(p.roll(t), time.Now().Add(-time.Hour))
	noPlace := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindCounted, At: time.Now(), Number: 5}
	status, a := p.send(t, c, fields{"sent_at": time.Now(), "events": []any{
		good[0], noPlace, fields{"id": "not a uuid", "kind": "here", "at": time.Now()}, fields{"id": "odd", "at": 7}, "nonsense", good[1],
	}})
	if status != http.StatusOK || !slices.Equal(a.Kept, idsOf(good[:2])) {
		t.Fatalf("status %d, kept %v, want %v", status, a.Kept, idsOf(good[:2]))
	}
	if len(a.Refused) != 4 || a.Refused[0].ID != noPlace.ID || a.Refused[0].Why != "place is empty: say where the count was made" || a.Refused[2].ID != "odd" {
		t.Errorf("refused %+v", a.Refused)
	}
	if n := len(p.roll(t).Events); n != 2 {
		t.Errorf("%d records, want 2", n)
	}
}

func TestBatchTooLargeIsRefusedWhole(t *testing.T) {
	p := serveForTwo(t)
	c := p.signIn(t, "leads@example.org")
	one := morning(p.roll(t), time.Now())[0]
	many := make([]roll.Event, 1001)
	for i := range many {
		many[i] = one
	}
	tests := []struct {
		name string
		body any
		want int
	}{
		{"more records than a phone makes", fields{"events": many}, http.StatusUnprocessableEntity},
		{"more bytes than they take", `{"events":["` + strings.Repeat("x", 3<<20) + `"]}`, http.StatusRequestEntityTooLarge},
		{"no JSON", `{"events":[`, http.StatusUnprocessableEntity},
		{"no time", `{"sent_at":"noon","events":[]}`, http.StatusUnprocessableEntity},
		{"nothing", `{"events":[]}`, http.StatusOK},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, _ := p.send(t, c, tt.body); got != tt.want {
				t.Errorf("status %d, want %d", got, tt.want)
			}
		})
	}
	if n := len(p.roll(t).Events); n != 0 {
		t.Errorf("%d records, want none", n)
	}
}

// Records made hours before, by a clock that is wrong, come to the times at which things
// happened; who recorded is who is signed in, whatever the device says.
func TestBatchOfAWrongClockIsCorrected(t *testing.T) {
	for _, skew := range []time.Duration{20 * time.Minute, -20 * time.Minute, time.Minute} {
		t.Run(skew.String(), func(t *testing.T) {
			p := serveForTwo(t)
			happened := time.Now().Add(-5 * time.Hour)
			events := morning(p.roll(t), happened.Add(skew))
			events[0].By, events[0].DeviceAt, events[0].Recorded = "somebody else", happened, happened
			if status, a := p.send(t, p.signIn(t, "leads@example.org"), fields{"sent_at": time.Now().Add(skew), "events": events}); status != http.StatusOK || len(a.Kept) != 3 {
				t.Fatalf("status %d, answer %+v", status, a)
			}
			first := p.roll(t).Events[0]
			wantAt, wantDevice := happened, happened.Add(skew)
			if skew.Abs() < 2*time.Minute {
				wantAt, wantDevice = happened.Add(skew), time.Time{}
			}
			if off := first.At.Sub(wantAt).Abs(); off > 10*time.Second || !first.DeviceAt.Equal(wantDevice) || first.By != "Ash Moreno" {
				t.Errorf("at %v, device %v, by %s; want %v, %v, Ash Moreno", first.At, first.DeviceAt, first.By, wantAt, wantDevice)
			}
		})
	}
}

// A closed roll says of each record whether it had come before.
func TestClosedRollAnswersForEachRecord(t *testing.T) {
	p := serveForTwo(t)
	c := p.signIn(t, "leads@example.org")
	events := morning(p.roll(t), time.Now().Add(-time.Hour))
	p.send(t, c, fields{"events": events[:2]})
	if err := p.db.ChangeHike(t.Context(), 1, func(h *hike.Hike) error { h.State = hike.Closed; return nil }); err != nil {
		t.Fatal(err)
	}
	_, a := p.send(t, c, fields{"events": events})
	if !slices.Equal(a.Kept, idsOf(events[:2])) || len(a.Refused) != 1 || !strings.Contains(a.Refused[0].Why, "closed") {
		t.Errorf("answer %+v", a)
	}
}

func TestWorkerIsServedAnewAndForTheRollAlone(t *testing.T) {
	p := serveForTwo(t)
	res, err := client(t).Get(p.base + "/sw.js")
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	got := []string{res.Status, res.Header.Get("Cache-Control"), res.Header.Get("Service-Worker-Allowed"), res.Header.Get("Content-Type")}
	want := []string{"200 OK", "no-cache", "/hikes/", "text/javascript; charset=utf-8"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for path, mark := range map[string]string{rollOne: "keep", "/hikes/1/manage": "", "/hikes/1": ""} {
		res, err := p.signIn(t, "leads@example.org").Get(p.base + path)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if got := res.Header.Get("Offline-Copy"); got != mark {
			t.Errorf("%s: Offline-Copy %q, want %q", path, got, mark)
		}
	}
}

// Without scripts the forms record, and "Not here after all" takes the mark back.
func TestRollFormsWithoutScripts(t *testing.T) {
	p := serveForTwo(t)
	c := p.signIn(t, "leads@example.org")
	person := string(p.roll(t).Roster[0].ID)
	event := uuid.NewString()
	for _, form := range []url.Values{
		{"event": {event}, "kind": {"here"}, "person": {person}},
		{"event": {event}, "kind": {"here"}, "person": {person}},
		{"event": {event}, "kind": {"undo"}, "person": {person}},
	} {
		res, err := c.PostForm(p.base+rollOne, form)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != http.StatusSeeOther {
			t.Fatalf("%v: status %d", form, res.StatusCode)
		}
	}
	rec := p.roll(t)
	if got, _ := rec.State().Person(roll.PersonID(person)); got.Where != roll.WhereExpected || len(rec.Events) != 2 {
		t.Errorf("%s after %d records, want expected after 2", got.Where, len(rec.Events))
	}
}
