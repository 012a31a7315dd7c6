package privacy_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/privacy"
)

// table is the table of disclosure written a second time by hand: what each capacity sees on a
// page, and when. Letters: d on the hike's day, w while watched, a in an alarm, + always, . never.
const table = `
                     public person rider sweep leader other oncall coord safety trainer land responder
name                 .      .      .     d     +      wa    wa     +     +      .       .    a
contacts             .      .      .     d     d      .     wa     +     +      .       .    a
action line          .      .      .     d     d      .     a      .     +      .       .    a
medical card         .      .      .     .     .      .     .      .     .      .       .    .
plates               .      .      .     d     d      .     wa     +     +      .       a    a
screening notes      .      .      .     .     +      .     .      +     +      .       .    .
incident narrative   .      .      .     .     .      .     .      .     +      .       .    .
shared ride          .      .      +     d     +      .     .      +     .      .       .    .
`

// kinds are the rows of the table, in order.
func kinds() []privacy.Kind {
	return []privacy.Kind{
		privacy.KindName, privacy.KindContact, privacy.KindAction, privacy.KindCard, privacy.KindPlate,
		privacy.KindScreening, privacy.KindIncident, privacy.KindRide,
	}
}

// capacities are the columns of the table, in order.
func capacities() []privacy.Capacity {
	return []privacy.Capacity{
		privacy.AsPublic, privacy.AsPerson, privacy.AsRider, privacy.AsSweep, privacy.AsLeader, privacy.AsOtherLeader,
		privacy.AsOnCall, privacy.AsCoordinator, privacy.AsSafety, privacy.AsTrainer, privacy.AsLandManager,
		privacy.AsResponder,
	}
}

func TestWhoSeesWhat(t *testing.T) {
	lines := strings.Split(strings.Trim(table, "\n"), "\n")[1:]
	if len(lines) != len(kinds()) {
		t.Fatalf("%d rows for %d kinds", len(lines), len(kinds()))
	}
	for i, kind := range kinds() {
		cells := strings.Fields(strings.TrimPrefix(lines[i], string(kind)))
		if !strings.HasPrefix(lines[i], string(kind)) || len(cells) != len(capacities()) {
			t.Fatalf("row %q is not about %s for %d capacities", lines[i], kind, len(capacities()))
		}
		for j, as := range capacities() {
			checkCell(t, kind, as, cells[j])
		}
	}
}

func checkCell(t *testing.T, kind privacy.Kind, as privacy.Capacity, cell string) {
	t.Helper()
	windows := map[string]privacy.Window{"": {}, "d": {Day: true}, "w": {Watched: true}, "a": {Alarm: true}}
	for letter, w := range windows {
		want := cell == "+" || letter != "" && strings.Contains(cell, letter)
		if got := (privacy.Visibility{As: []privacy.Capacity{as}, Window: w}).CanSee(kind); got != want {
			t.Errorf("%s, %s, window %q: sees %v, want %v", kind, as, letter, got, want)
		}
	}
}

// Whatever kind or capacity the code knows stands in the table above.
func TestTableIsComplete(t *testing.T) {
	for kind, row := range privacy.Disclosures() {
		if !slices.Contains(kinds(), kind) {
			t.Errorf("kind %q is not in the table", kind)
		}
		for as := range row {
			if !slices.Contains(capacities(), as) {
				t.Errorf("capacity %q is not in the table", as)
			}
		}
	}
}

func TestVisibilityWithoutAndWithSeveralCapacities(t *testing.T) {
	all := privacy.Window{Day: true, Watched: true, Alarm: true}
	for _, k := range kinds() {
		stranger := privacy.Visibility{As: []privacy.Capacity{"ranger"}, Window: all}
		if (privacy.Visibility{Window: all}).CanSee(k) || stranger.CanSee(k) {
			t.Errorf("%s is seen without a capacity that the table names", k)
		}
	}
	both := privacy.Visibility{As: []privacy.Capacity{privacy.AsCoordinator, privacy.AsSweep}, Window: all}
	if !both.CanSee(privacy.KindAction) {
		t.Error("a coordinator who sweeps does not see what a sweep sees")
	}
}

func TestDayOfTheHike(t *testing.T) {
	meet := time.Date(2026, 11, 25, 13, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		state hike.State
		from  time.Duration // from the meeting time
		want  bool
	}{
		{"just before the evening before", hike.Posted, -24*time.Hour - time.Second, false},
		{"the evening before", hike.Posted, -24 * time.Hour, true},
		{"two days after the start", hike.Closed, 48*time.Hour + 30*time.Minute, false},
		{"just before that", hike.Closed, 48*time.Hour + 29*time.Minute, true},
		{"posted and forgotten", hike.Posted, 240 * time.Hour, false},
		{"out, however long", hike.Out, 240 * time.Hour, true},
		{"back and not settled", hike.Back, 240 * time.Hour, true},
		{"a draft", hike.Draft, 0, false},
		{"called off", hike.CalledOff, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := hike.Hike{Meet: meet, Start: meet.Add(30 * time.Minute), State: c.state}
			if got := h.OnDay(meet.Add(c.from)); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

func TestWhoPhonesBeforeTheHike(t *testing.T) {
	for _, tt := range []struct {
		name string
		as   privacy.Capacity
		w    privacy.Window
		want bool
	}{
		{"leader days before", privacy.AsLeader, privacy.Window{Ahead: true}, true},
		{"leader when it is over", privacy.AsLeader, privacy.Window{}, false},
		{"sweep days before", privacy.AsSweep, privacy.Window{Ahead: true}, false},
		{"sweep on the day", privacy.AsSweep, privacy.Window{Ahead: true, Day: true}, true},
		{"on-call days before", privacy.AsOnCall, privacy.Window{Ahead: true}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := (privacy.Visibility{As: []privacy.Capacity{tt.as}, Window: tt.w}).CanPhone(); got != tt.want {
				t.Errorf("%v, want %v", got, tt.want)
			}
		})
	}
}
