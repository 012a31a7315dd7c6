package ride_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
)

func TestTravellersAreStaffAndWhoHasAPlace(t *testing.T) {
	said := ride.Sharing{Town: "Dry Mills", Since: time.Unix(1, 0)}
	h := hike.Hike{Staff: []team.Staff{{Person: "s", Name: "Ash Moreno"}}}
	places := []signup.SignUp{
		{ID: "a", Name: "Ines Calder", State: signup.Confirmed, Car: signup.Car{Plate: "A 1", Seats: 2}},
		{ID: "k", Name: "Kit Calder", State: signup.Confirmed, Minor: true, Adult: "ines  calder",
			Guardian: "Ines Calder"},
		{ID: "l", Name: "Lu Moreno", State: signup.Confirmed, Minor: true, Adult: "Ash Moreno", Guardian: "Bo Moreno"},
		{ID: "m", Name: "Mo Dunn", State: signup.Confirmed, Minor: true, Adult: "Wil Dunn"},
		{ID: "w", Name: "Wil Dunn", State: signup.Waiting},
	}
	book := ride.Book{Sharing: map[string]ride.Sharing{"a": said, "k": said},
		Cars: map[string]signup.Car{"s": {Plate: "S 1", Seats: 3}}}
	want := []ride.Traveller{
		{ID: "s", Name: "Ash Moreno", Staff: true, Car: signup.Car{Plate: "S 1", Seats: 3}},
		{ID: "a", Name: "Ines Calder", Car: signup.Car{Plate: "A 1", Seats: 2}, Sharing: said},
		{ID: "k", Name: "Kit Calder", Minor: true, Adult: "a", Guarded: true},
		{ID: "l", Name: "Lu Moreno", Minor: true, Adult: "s"},
		{ID: "m", Name: "Mo Dunn", Minor: true},
	}
	if diff := cmp.Diff(want, ride.Travellers(h, places, book)); diff != "" {
		t.Errorf("travellers (-want +got):\n%s", diff)
	}
}

func TestPartsInAShuttle(t *testing.T) {
	people := []ride.Traveller{from("Dry Mills", drives("a", 4)), from("Dry Mills", drives("b", 2)), drives("e", 0),
		from("Dry Mills", walks("c")[0]), walks("d")[0]}
	r := ride.PlanRides(track.OneWay, people)
	want := map[string]ride.Part{
		"a": {Own: ride.StandsAtEnd, Ferried: "b", Back: "a", Takes: []string{"b", "e", "c", "d"}},
		"b": {Own: ride.FerriesToHead, Ferries: []string{"a"}, Picks: []string{"c"}, Back: "a"},
		"c": {PickedUp: "b", Back: "a"},
		"d": {Back: "a"},
		"e": {Own: ride.StaysAtStart, Back: "a"},
	}
	for _, p := range people {
		if diff := cmp.Diff(want[p.ID], r.PartOf(p)); diff != "" {
			t.Errorf("part of %s (-want +got):\n%s", p.ID, diff)
		}
	}
}

func TestWhoHasNoSeatKnowsIt(t *testing.T) {
	x := walks("x")[0]
	if got := ride.PlanRides(track.OneWay, []ride.Traveller{x}).PartOf(x); !got.NoSeat || !got.Shared() {
		t.Errorf("%+v, want no seat", got)
	}
	if got := ride.PlanRides(track.Loop, []ride.Traveller{x}).PartOf(x); got.NoSeat {
		t.Errorf("%+v: on a loop nobody needs a seat back", got)
	}
}

func TestWhoComesAloneHasNoPartToTell(t *testing.T) {
	for _, c := range []struct {
		name string
		part ride.Part
		want bool
	}{
		{"nothing", ride.Part{}, false}, {"own car", ride.Part{Own: ride.StaysAtStart}, false},
		{"brings somebody", ride.Part{Own: ride.StaysAtStart, Picks: []string{"a"}}, true},
		{"rides back", ride.Part{Back: "a"}, true}, {"has no seat", ride.Part{NoSeat: true}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.part.Shared(); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

func TestTimesOfTheShuttle(t *testing.T) {
	meet := time.Date(2026, 11, 28, 6, 30, 0, 0, time.UTC)
	atEnd, leave := ride.Shuttle{Drive: 25 * time.Minute}.ShuttleTimes(hike.Hike{Meet: meet})
	if atEnd.Format("15:04") != "05:55" || leave.Format("15:04") != "06:05" {
		t.Errorf("at the end %s, leave %s; want 05:55 and 06:05", atEnd.Format("15:04"), leave.Format("15:04"))
	}
	if atEnd, leave = (ride.Shuttle{}).ShuttleTimes(hike.Hike{Meet: meet}); !atEnd.IsZero() || !leave.IsZero() {
		t.Errorf("times without a known drive: %v, %v", atEnd, leave)
	}
}

// Both have to agree, and only as long as both do.
func TestWhatTwoInOneCarSeeOfEachOther(t *testing.T) {
	yes, no := from("Dry Mills", walks("a")[0]), walks("b")[0]
	minor := from("Dry Mills", child("k", "a", true))
	for _, c := range []struct {
		name          string
		viewer, other ride.Traveller
		want          bool
	}{
		{"both", yes, from("Salt Ford", no), true}, {"the viewer alone", yes, no, false},
		{"the other alone", no, yes, false}, {"neither", no, no, false},
		{"a child", yes, minor, false}, {"to a child", minor, yes, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, k := range []privacy.Kind{
				privacy.KindRide, privacy.KindName, privacy.KindContact, privacy.KindPlate,
			} {
				if got := ride.Visibility(c.viewer, c.other).CanSee(k); got != (c.want && k == privacy.KindRide) {
					t.Errorf("sees %s: %v", k, got)
				}
			}
		})
	}
}

func TestSayingYesAndTakingItBack(t *testing.T) {
	var s ride.Sharing
	s.Say(true, "Dry Mills", time.Unix(10, 0))
	s.Say(true, "Salt Ford", time.Unix(20, 0))
	if want := (ride.Sharing{Town: "Salt Ford", Since: time.Unix(10, 0)}); s != want {
		t.Errorf("%+v, want %+v", s, want)
	}
	s.Say(false, "Salt Ford", time.Unix(30, 0))
	if s != (ride.Sharing{}) {
		t.Errorf("after a no: %+v, want nothing kept", s)
	}
}

func TestCheckRide(t *testing.T) {
	yes := ride.Sharing{Since: time.Unix(1, 0)}
	for _, c := range []struct {
		name  string
		car   signup.Car
		share ride.Sharing
		field string
	}{
		{"nothing said", signup.Car{}, ride.Sharing{}, ""},
		{"yes without a town", signup.Car{}, yes, "ride_town"},
		{"seats of no car", signup.Car{Seats: 2}, ride.Sharing{}, "plate"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err, _ := ride.CheckRide(c.car, c.share).(fault.Invalid)
			if (c.field == "") != (err == nil) || c.field != "" && err[c.field] == "" {
				t.Errorf("%v, want a fault at %q", err, c.field)
			}
		})
	}
	if err, _ := (ride.Shuttle{Drive: 5 * time.Hour}).Validate().(fault.Invalid); err["end_lot"] == "" ||
		err["drive_minutes"] == "" {
		t.Errorf("a shuttle of five hours to nowhere: %v", err)
	}
}
