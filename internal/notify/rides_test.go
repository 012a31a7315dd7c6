package notify_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/track"
)

// shuttled is a fake with a one-way trail, two drivers on the staff and two riders.
func shuttled() *fake {
	f := newFake()
	f.trail.Profile.Shape = track.OneWay
	f.places[1].State = signup.Confirmed
	f.book = ride.Book{
		Opened:  f.now,
		Shuttle: ride.Shuttle{EndLot: "Notch Lot", Drive: 25 * time.Minute},
		Sharing: map[string]ride.Sharing{},
		Cars: map[string]signup.Car{
			"lead": {Plate: "AAA 111", Seats: 4},
			"last": {Plate: "BBB 222", Seats: 4},
		},
		Told: map[string]ride.RideTold{},
	}
	return f
}

func TestRideMailsGoOnceAndAgainWhenAPartChanges(t *testing.T) {
	f := shuttled()
	n := f.notifier(t)
	n.NotifyRides(t.Context(), f.hike.ID)
	n.NotifyRides(t.Context(), f.hike.ID)
	want := []string{"amaya@example.org", "ash@example.org", "juniper@example.org", "wren@example.org"}
	if got := f.to(); !slices.Equal(got, want) {
		t.Fatalf("wrote to %v, want %v once each\n%s", got, want, f.log.String())
	}
	for _, m := range f.mails {
		staff := m.To == "ash@example.org" || m.To == "juniper@example.org"
		if own := strings.Contains(m.Text, "https://hikes.example.org/place/"); own == staff {
			t.Errorf("%s gets a place link: %v", m.To, own)
		}
		for _, name := range []string{"Juniper", "Ash", "Wren", "Amaya"} {
			if n := strings.Count(m.Text, name); n > 2 { // the greeting and the leader's name
				t.Errorf("%s stands %d times in the mail to %s", name, n, m.To)
			}
		}
	}
	f.mails = nil
	f.book.Shuttle.EndLot = "Tank Lot" // where two cars go: their drivers' parts change
	n.NotifyRides(t.Context(), f.hike.ID)
	if len(f.mails) == 0 || !strings.Contains(f.text(), "Tank Lot") || !strings.Contains(f.text(), "Changed, cars: ") {
		t.Errorf("after a change, to %v:\n%s", f.to(), f.text())
	}
	if slices.Contains(f.to(), "wren@example.org") {
		t.Error("Wren's part did not change")
	}
}

func TestNobodyIsWrittenToAboutRides(t *testing.T) {
	for name, change := range map[string]func(*fake){
		"before they are published": func(f *fake) { f.book.Opened = time.Time{} },
		"of a draft":                func(f *fake) { f.hike.State = hike.Draft },
		"after the start":           func(f *fake) { f.now = f.hike.Start },
		"who comes alone":           func(f *fake) { f.trail.Profile.Shape, f.book.Cars = track.OutAndBack, nil },
	} {
		t.Run(name, func(t *testing.T) {
			f := shuttled()
			change(f)
			f.notifier(t).NotifyRides(t.Context(), f.hike.ID)
			if len(f.mails) != 0 || f.log.Len() != 0 {
				t.Errorf("wrote to %v; log %q", f.to(), f.log.String())
			}
		})
	}
}

// Names are shown on a page to people who both agreed, and never in a mail.
func TestNamesInRidesNeedTheYesOfBoth(t *testing.T) {
	f := shuttled()
	yes := ride.Sharing{Town: "Dry Mills", Since: f.now}
	for _, c := range []struct {
		name    string
		sharing map[string]ride.Sharing
		named   bool
		want    bool
	}{
		{"both agreed, on the page", map[string]ride.Sharing{"wren": yes, "lead": yes, "last": yes, "amaya": yes}, true,
			true},
		{"both agreed, in a mail", map[string]ride.Sharing{"wren": yes, "lead": yes, "last": yes, "amaya": yes}, false,
			false},
		{"one agreed", map[string]ride.Sharing{"wren": yes}, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			f.book.Sharing = c.sharing
			cars := notify.NewCars(hikeData(f), f.book)
			text := words(cars.PartLines(cars.By["wren"], c.named))
			got := strings.Contains(text, "Juniper") || strings.Contains(text, "Ash")
			if got != c.want {
				t.Errorf("named: %v, want %v:\n%s", got, c.want, text)
			}
		})
	}
}

// The two drivers of a shuttle: one car waits at the end, the other brings everybody to the
// start; both are at the end lot 35 minutes before the meeting time.
func TestPartLinesOfAShuttle(t *testing.T) {
	f := shuttled()
	cars := notify.NewCars(hikeData(f), f.book)
	var all []string
	for _, p := range cars.People {
		all = append(all, words(cars.PartLines(p, false)))
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{
		"05:25 Bring your car to Notch Lot", "05:25 Be at Notch Lot with your car",
		"05:35 Ride from there to the start in a car that the leader names there",
		"After the walk Ride back to the start in a car that the leader names there",
		"to the start in your car Nobody leaves before the count.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	f.book.Shuttle.Drive = 0
	cars = notify.NewCars(hikeData(f), f.book)
	if text := words(cars.PartLines(cars.By["lead"], false)); !strings.HasPrefix(text, "Before the walk ") {
		t.Errorf("without a known drive there is no clock time: %s", text)
	}
}

func words(lines []format.Line) string {
	var list []string
	for _, l := range lines {
		list = append(list, l.Label, l.Value, l.Note)
	}
	return strings.Join(list, " ")
}
