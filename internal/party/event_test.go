package party_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/party"
)

func TestClockOffset(t *testing.T) {
	received := clock(300)
	tests := []struct {
		name   string
		sentAt time.Time
		want   time.Duration
	}{
		{"right clock", received, 0},
		{"a slow way is no wrong clock", received.Add(-2 * time.Minute), 0},
		{"seconds fast", received.Add(90 * time.Second), 0},
		{"just over two minutes slow", received.Add(-121 * time.Second), 121 * time.Second},
		{"20 minutes fast", received.Add(20 * time.Minute), -20 * time.Minute},
		{"20 minutes slow", received.Add(-20 * time.Minute), 20 * time.Minute},
		{"zone mistaken by an hour", received.Add(time.Hour), -time.Hour},
		{"same instant in another zone", received.In(time.FixedZone("", 9*3600)), 0},
		{"device that does not say", time.Time{}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := party.ClockOffset(tt.sentAt, received); got != tt.want {
				t.Errorf("offset = %v, want %v", got, tt.want)
			}
		})
	}
}

// An event recorded hours before it is sent is corrected by as much as a new one.
func TestCorrectedMovesEveryRecordAlike(t *testing.T) {
	for _, skew := range []time.Duration{20 * time.Minute, -20 * time.Minute} {
		sent := clock(300)
		offset := party.ClockOffset(sent.Add(skew), sent)
		for _, happened := range []int{0, 65, 299} {
			e := party.Event{ID: eventID(1), At: clock(happened).Add(skew)}
			got := e.Corrected(offset)
			if !got.At.Equal(clock(happened)) || !got.DeviceAt.Equal(e.At) {
				t.Errorf("skew %v, minute %d: at %v, device %v; want %v, %v",
					skew, happened, got.At, got.DeviceAt, clock(happened), e.At)
			}
		}
	}
}

func TestCorrectedLeavesRightAndImpossibleTimes(t *testing.T) {
	right := party.Event{At: clock(5), DeviceAt: clock(99)}
	if got := right.Corrected(0); !got.At.Equal(clock(5)) || !got.DeviceAt.IsZero() {
		t.Errorf("right clock: %+v", got)
	}
	impossible := party.Event{At: time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)}
	if got := impossible.Corrected(time.Hour); !got.At.Equal(impossible.At) || !got.DeviceAt.IsZero() {
		t.Errorf("impossible time: %+v", got)
	}
}

func TestDeviceTimeIsKeptInJSONOnlyWhereItDiffers(t *testing.T) {
	e := party.Event{ID: eventID(1), Kind: party.KindHere, At: clock(5)}
	plain, _ := json.Marshal(e)
	if strings.Contains(string(plain), "device_at") {
		t.Errorf("a right clock writes %s", plain)
	}
	moved, _ := json.Marshal(e.Corrected(-20 * time.Minute))
	var back party.Event
	if err := json.Unmarshal(moved, &back); err != nil {
		t.Fatal(err)
	}
	if !back.DeviceAt.Equal(clock(5)) || !back.At.Equal(clock(-15)) {
		t.Errorf("came back as at %v, device %v", back.At, back.DeviceAt)
	}
}

// With two phones, one of them with a wrong clock, the corrected events fold like events from right clocks.
func TestCorrectionRestoresTheFold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := rapid.OneOf(rapid.IntRange(3, 600), rapid.IntRange(-600, -3)).Draw(t, "skew in minutes")
		skew := time.Duration(minutes) * time.Minute
		var s script
		s.Out(8)
		s.Count(120, 8, 0, "Wash")
		s.Count(124, 0, 7, "Wash")
		s.Events[3].By = "Walker 02"
		want := party.Fold(roster(8), s.Events)
		sent := clock(400)
		wrong := s.Events[3]
		wrong.At = wrong.At.Add(skew)
		s.Events[3] = wrong.Corrected(party.ClockOffset(sent.Add(skew), sent))
		got := party.Fold(roster(8), s.Events)
		if diff := cmp.Diff(kindsOf(want.Flags), kindsOf(got.Flags)); diff != "" {
			t.Fatalf("flags (-right +corrected):\n%s", diff)
		}
		if diff := cmp.Diff(want.Counts, got.Counts); diff != "" {
			t.Fatalf("counts (-right +corrected):\n%s", diff)
		}
	})
}

func TestMarkIsTheRecordThatAnUndoTakesBack(t *testing.T) {
	var s script
	first := s.Named(party.KindHere, 40, person(1))
	s.Named(party.KindHere, 41, person(1)) // a second tap moves nobody
	p, _ := party.Fold(roster(2), s.Events).Person(person(1))
	if p.Mark() != first {
		t.Errorf("mark %q, want %q", p.Mark(), first)
	}
	if p, _ := party.Fold(roster(2), s.Events).Person(person(2)); p.Mark() != "" {
		t.Errorf("mark of somebody without a record: %q", p.Mark())
	}
}
