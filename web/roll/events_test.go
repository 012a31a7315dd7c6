package roll_test

import (
	"encoding/json"
	"net/http"
	"saltbush/internal/party"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

// reply is what the site says to a batch.
type reply struct {
	Kept    []party.EventID
	Refused []struct {
		ID  party.EventID
		Why string
	}
}

// fields are a JSON object.
type fields map[string]any

func send(v *sitetest.Visitor, batch any) sitetest.Page { return v.PostJSON(rollPath+"/events", batch) }

// sendBatch sends a batch as a phone does and returns the answer.
func sendBatch(t *testing.T, v *sitetest.Visitor, batch fields) (r reply) {
	t.Helper()
	page := send(v, batch).Want(http.StatusOK)
	if err := json.Unmarshal([]byte(page.Body), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func idsOf(events []party.Event) (ids []party.EventID) {
	for _, e := range events {
		ids = append(ids, e.ID)
	}
	return ids
}

func TestBatchSentTwiceAndBackwardsChangesNothing(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	events := morning(s.Roll(t, 1), time.Now().Add(-3*time.Hour))
	slices.Reverse(events)
	batch := fields{"sent_at": time.Now(), "events": append(events, events[0])}
	for range 2 {
		if r := sendBatch(t, v, batch); len(r.Refused) != 0 || !slices.Equal(r.Kept[:3], idsOf(events)) {
			t.Fatalf("answer %+v, want all three kept", r)
		}
	}
	rec := s.Roll(t, 1)
	state := rec.State()
	if len(rec.Events) != 3 || state.Expected != 5 || len(state.Flags) != 0 || rec.Hike.State != hike.Out {
		t.Errorf("%d records, %d expected, flags %+v, hike %s; want 3, 5, none, out",
			len(rec.Events), state.Expected, state.Flags, rec.Hike.State)
	}
}

func TestBadRecordDoesNotHoldUpTheOthers(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	good := morning(s.Roll(t, 1), time.Now().Add(-time.Hour))
	noPlace := party.Event{ID: newID(), Kind: party.KindCounted, At: time.Now(), Number: 5}
	noID, noTime := fields{"id": "not a uuid", "kind": "here", "at": time.Now()}, fields{"id": "odd", "at": 7}
	events := []any{good[0], noPlace, noID, noTime, "nonsense", good[1]}
	r := sendBatch(t, v, fields{"sent_at": time.Now(), "events": events})
	if want := idsOf(good[:2]); !slices.Equal(r.Kept, want) {
		t.Fatalf("kept %v, want %v", r.Kept, want)
	}
	if len(r.Refused) != 4 || r.Refused[0].ID != noPlace.ID || r.Refused[2].ID != "odd" {
		t.Fatalf("refused %+v, want the other four by their ids", r.Refused)
	}
	if got, want := r.Refused[0].Why, "place is empty: say where the count was made"; got != want {
		t.Errorf("refused because %q, want %q", got, want)
	}
	if got := len(s.Roll(t, 1).Events); got != 2 {
		t.Errorf("%d records, want 2", got)
	}
}

func TestBatchTooLargeIsRefusedWhole(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	many := slices.Repeat(morning(s.Roll(t, 1), time.Now())[:1], 1001)
	for _, tt := range []struct {
		name string
		body any
		want int
	}{
		{"more records than a phone makes", fields{"events": many}, http.StatusUnprocessableEntity},
		{"more bytes than they take", `{"events":["` + strings.Repeat("x", 3<<20) + `"]}`,
			http.StatusRequestEntityTooLarge},
		{"no JSON", `{"events":[`, http.StatusUnprocessableEntity},
		{"no time", `{"sent_at":"noon","events":[]}`, http.StatusUnprocessableEntity},
		{"nothing", `{"events":[]}`, http.StatusOK},
	} {
		t.Run(tt.name, func(t *testing.T) { send(v.In(t), tt.body).Want(tt.want) })
	}
	if got := len(s.Roll(t, 1).Events); got != 0 {
		t.Errorf("%d records, want none", got)
	}
}

// Records that a phone with a wrong clock made hours ago get the times at which things
// happened. Recorded by is who is signed in, whatever the phone says.
func TestBatchOfAWrongClockIsCorrected(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name      string
		skew      time.Duration
		corrected bool
	}{
		{"fast", 20 * time.Minute, true},
		{"slow", -20 * time.Minute, true},
		{"a little fast", time.Minute, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := sitetest.Pages(t, sitetest.Crewed, time.Now)
			v := s.SignIn(t, sitetest.Leader)
			happened := time.Now().Add(-5 * time.Hour)
			events := morning(s.Roll(t, 1), happened.Add(tt.skew))
			events[0].By, events[0].DeviceAt, events[0].Recorded = "somebody else", happened, happened
			r := sendBatch(t, v, fields{"sent_at": time.Now().Add(tt.skew), "events": events})
			if len(r.Kept) != 3 {
				t.Fatalf("answer %+v, want all three kept", r)
			}
			wantAt, wantDevice := happened.Add(tt.skew), time.Time{}
			if tt.corrected {
				wantAt, wantDevice = happened, happened.Add(tt.skew)
			}
			first := s.Roll(t, 1).Events[0]
			if off := first.At.Sub(wantAt).Abs(); off > 10*time.Second || !first.DeviceAt.Equal(wantDevice) {
				t.Errorf("at %v, device %v; want %v, %v", first.At, first.DeviceAt, wantAt, wantDevice)
			}
			if first.By != "Ash Moreno" {
				t.Errorf("recorded by %s, want Ash Moreno", first.By)
			}
		})
	}
}

// A closed roll says of each record whether it had come before.
func TestClosedRollAnswersForEachRecord(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	events := morning(s.Roll(t, 1), time.Now().Add(-time.Hour))
	sendBatch(t, v, fields{"events": events[:2]})
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.State = hike.Closed })
	r := sendBatch(t, v, fields{"events": events})
	if want := idsOf(events[:2]); !slices.Equal(r.Kept, want) {
		t.Errorf("kept %v, want %v", r.Kept, want)
	}
	if len(r.Refused) != 1 || !strings.Contains(r.Refused[0].Why, "closed") {
		t.Errorf("refused %+v, want the third, because the roll is closed", r.Refused)
	}
}
