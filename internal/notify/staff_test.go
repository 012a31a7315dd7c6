package notify_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/team"
)

func TestWhoIsAskedToTakeARole(t *testing.T) {
	sweep, onCall := "ash@example.org", "rosa@example.org"
	for _, c := range []struct {
		name   string
		before func(*hike.Hike)
		want   []string
	}{
		{"a new hike", func(h *hike.Hike) { *h = hike.Hike{} }, []string{sweep, onCall}},
		{"nothing changed", func(*hike.Hike) {}, nil},
		{"another sweep", func(h *hike.Hike) { h.Staff = h.Staff[:1] }, []string{sweep}},
		{"another role", func(h *hike.Hike) { h.Staff[1].Role = team.Assistant }, []string{sweep}},
		{"another time", func(h *hike.Hike) { h.Meet = h.Meet.Add(time.Hour) }, []string{sweep, onCall}},
		{"another trail", func(h *hike.Hike) { h.Trail++ }, []string{sweep, onCall}},
		{"another on-call", func(h *hike.Hike) { h.OnCall.Email = "teo@example.org" }, []string{onCall}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := newFake()
			before := f.hike
			before.Staff = slices.Clone(f.hike.Staff)
			c.before(&before)
			f.notifier(t).AskStaff(t.Context(), "Juniper Vale", before, f.hike.ID)
			if got := f.to(); !slices.Equal(got, c.want) || len(f.links) != len(c.want) {
				t.Errorf("asked %v with %d links, want %v", got, len(f.links), c.want)
			}
		})
	}
}

func TestARequestSaysWhatAndByWhom(t *testing.T) {
	f := newFake()
	f.notifier(t).AskStaff(t.Context(), "Juniper Vale", hike.Hike{}, f.hike.ID)
	for _, want := range []string{
		"Juniper Vale asks whether you take this part", "Part: sweep", "Part: on-call", "Trail: Dry Fork",
		"https://hikes.example.org/asked/", "Cinder Hills Walkers",
	} {
		if !strings.Contains(f.text(), want) {
			t.Errorf("%q is not in the mails:\n%s", want, f.text())
		}
	}
	for _, l := range f.links {
		if !l.Expires.Equal(f.hike.Start) {
			t.Errorf("the link ends %v, want the start", l.Expires)
		}
	}
}

func TestAcceptedOnCallIsNotAskedAgain(t *testing.T) {
	f := newFake()
	f.hike.OnCallAccepted = f.now
	f.notifier(t).AskStaff(t.Context(), "Juniper Vale", hike.Hike{}, f.hike.ID)
	if got := f.to(); !slices.Equal(got, []string{"ash@example.org"}) {
		t.Errorf("asked %v, want the sweep alone", got)
	}
}
