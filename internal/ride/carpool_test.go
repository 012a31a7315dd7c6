package ride_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/track"
)

// drives is a driver who offers seats to others. walks has people without a car.
func drives(id string, seats int) ride.Traveller {
	return ride.Traveller{ID: id, Name: id, Car: signup.Car{Plate: "DRY " + id, Seats: seats}}
}

func walks(ids ...string) (list []ride.Traveller) {
	for _, id := range ids {
		list = append(list, ride.Traveller{ID: id, Name: id})
	}
	return list
}

func child(id, of string, guarded bool) ride.Traveller {
	return ride.Traveller{ID: id, Name: id, Minor: true, Adult: of, Guarded: guarded}
}

func from(town string, p ride.Traveller) ride.Traveller {
	p.Sharing = ride.Sharing{Town: town, Since: time.Unix(1, 0)}
	return p
}

func aRide(driver string, riders ...string) ride.Ride {
	return ride.Ride{Driver: driver, Riders: riders}
}

func lack(kind ride.LackKind, n int, who ...string) ride.Lack {
	return ride.Lack{Kind: kind, N: n, Who: who}
}

func TestCarsOfAOneWayHike(t *testing.T) {
	for _, c := range []struct {
		name   string
		people []ride.Traveller
		want   ride.Rides
	}{
		{"nobody comes", nil, ride.Rides{}},
		{"two cars: one at the end, the other ferries its driver",
			append(walks("c", "d"), drives("a", 3), drives("b", 1)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "b", "c", "d")}, Ferry: []ride.Ride{aRide("b", "a")}}},
		{"a third car that is not needed goes straight to the start",
			append(walks("d"), drives("a", 3), drives("b", 1), drives("c", 0)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "b", "c", "d")}, Ferry: []ride.Ride{aRide("b", "a")}}},
		{"one ferry brings two drivers",
			append(walks("d", "e", "f", "g"), drives("a", 3), drives("b", 3), drives("c", 2)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "e", "f", "g"), aRide("c", "b", "d")},
				Ferry: []ride.Ride{aRide("b", "a", "c")}}},
		{"everybody is someone's passenger", walks("a", "b"),
			ride.Rides{Seatless: []string{"a", "b"}, Lacks: []ride.Lack{lack(ride.LackDriver, 2, "a", "b")}}},
		{"one car alone cannot be left at the end: nobody brings its driver to the start",
			append(walks("b"), drives("a", 4)),
			ride.Rides{Seatless: []string{"a", "b"},
				Lacks: []ride.Lack{lack(ride.LackFerry, 1, "a", "b"), lack(ride.LackSeats, 2, "a", "b")}}},
		{"two cars that offer no seat ferry nobody", []ride.Traveller{drives("a", 0), drives("b", 0)},
			ride.Rides{Seatless: []string{"a", "b"},
				Lacks: []ride.Lack{lack(ride.LackFerry, 1, "a", "b"), lack(ride.LackSeats, 2, "a", "b")}}},
		{"seats at the end too few by one: the drivers have theirs",
			append(walks("c", "d"), drives("a", 2), drives("b", 2)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "b", "c")}, Ferry: []ride.Ride{aRide("b", "a")},
				Seatless: []string{"d"},
				Lacks:    []ride.Lack{lack(ride.LackSeats, 1, "d")}}},
		{"a shuttle that leaves a driver without a seat is none",
			[]ride.Traveller{drives("a", 1), drives("b", 1), drives("c", 0)},
			ride.Rides{Seatless: []string{"a", "b", "c"}, Lacks: []ride.Lack{lack(ride.LackSeats, 1, "a", "b", "c")}}},
		{"staff move their cars before others who offer as much",
			append(walks("d", "e"), drives("a", 2), drives("b", 4),
				ride.Traveller{ID: "z", Name: "z", Staff: true, Car: signup.Car{Plate: "Z 1", Seats: 2}}),
			ride.Rides{Stand: []ride.Ride{aRide("b", "z", "a", "d", "e")}, Ferry: []ride.Ride{aRide("z", "b")}}},
		{"children ride with their adult, who may ride with another",
			append(walks("m"), drives("a", 4), drives("b", 2), child("k", "m", true), child("j", "b", true)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "b", "j", "m", "k")}, Ferry: []ride.Ride{aRide("b", "j", "a")}}},
		{"the children of who leaves a car at the end are ferried too",
			append(walks("d"), drives("a", 3), drives("b", 2), child("k", "a", true)),
			ride.Rides{Stand: []ride.Ride{aRide("a", "k", "b", "d")}, Ferry: []ride.Ride{aRide("b", "a", "k")}}},
		{"a family that fits into one car only has it at the end",
			append(walks("m", "x"), drives("a", 2), drives("b", 2), drives("c", 2), drives("d", 3),
				child("k", "m", true), child("l", "m", true)),
			ride.Rides{Stand: []ride.Ride{aRide("d", "m", "k", "l"), aRide("a", "b", "c")},
				Ferry:    []ride.Ride{aRide("b", "d", "a")},
				Seatless: []string{"x"}, Lacks: []ride.Lack{lack(ride.LackSeats, 1, "x")}}},
		{"a child's car is no car, and a child without its adult has no seat",
			append(walks("c"), drives("a", 3), drives("b", 1),
				ride.Traveller{ID: "k", Name: "k", Minor: true, Adult: "gone",
					Car: signup.Car{Plate: "K 1", Seats: 7}}),
			ride.Rides{Stand: []ride.Ride{aRide("a", "b", "c")}, Ferry: []ride.Ride{aRide("b", "a")},
				Seatless: []string{"k"},
				Lacks:    []ride.Lack{lack(ride.LackAdult, 1, "k")}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.want.OneWay = true
			if diff := cmp.Diff(c.want, ride.PlanRides(track.OneWay, c.people)); diff != "" {
				t.Errorf("rides (-want +got):\n%s", diff)
			}
		})
	}
}

func TestRidesToTheTrailhead(t *testing.T) {
	for _, c := range []struct {
		name   string
		shape  track.Shape
		people []ride.Traveller
		want   ride.Rides
	}{
		{"from the same town, however it is written", track.Loop,
			[]ride.Traveller{from("Dry Mills", drives("a", 2)), from(" dry  mills", walks("b")[0]),
				from("Salt Ford", walks("c")[0])},
			ride.Rides{Pool: []ride.Ride{aRide("a", "b")}, Lacks: []ride.Lack{lack(ride.LackRide, 1, "c")}}},
		{"not with who did not say yes", track.OutAndBack,
			[]ride.Traveller{drives("a", 2), from("Dry Mills", walks("b")[0])},
			ride.Rides{Lacks: []ride.Lack{lack(ride.LackRide, 1, "b")}}},
		{"who did not say yes is not looked for", track.Loop,
			append(walks("b"), from("Dry Mills", drives("a", 2))), ride.Rides{}},
		{"no town is no match", track.Loop,
			[]ride.Traveller{from("", drives("a", 2)), from("", walks("b")[0])},
			ride.Rides{Lacks: []ride.Lack{lack(ride.LackRide, 1, "b")}}},
		{"a child not theirs makes two who need a third", track.Loop,
			[]ride.Traveller{from("Dry Mills", drives("a", 3)), child("k", "a", false),
				from("Dry Mills", drives("b", 3)), child("l", "b", true), from("Dry Mills", walks("c")[0])},
			ride.Rides{Pool: []ride.Ride{aRide("a", "k", "c")}}},
		{"an adult would be alone with a child not theirs", track.OneWay,
			append(walks("d"), drives("a", 0), child("k", "a", false), drives("b", 2), drives("c", 3)),
			ride.Rides{OneWay: true, Stand: []ride.Ride{aRide("b", "c", "d"), aRide("a", "k")},
				Ferry: []ride.Ride{aRide("c", "a", "k", "b")},
				Lacks: []ride.Lack{lack(ride.LackSecond, 1, "k")}}},
		{"a guardian may", track.OneWay,
			append(walks("d"), drives("a", 0), child("k", "a", true), drives("b", 2), drives("c", 3)),
			ride.Rides{OneWay: true, Stand: []ride.Ride{aRide("b", "c", "d"), aRide("a", "k")},
				Ferry: []ride.Ride{aRide("c", "a", "k", "b")}}},
		{"who brings a car to the end takes nobody; who ferries takes whom the seats left allow", track.OneWay,
			[]ride.Traveller{from("Dry Mills", drives("a", 4)), from("Dry Mills", drives("b", 2)),
				from("Dry Mills", walks("c")[0]), from("Dry Mills", walks("d")[0])},
			ride.Rides{OneWay: true, Stand: []ride.Ride{aRide("a", "b", "c", "d")}, Ferry: []ride.Ride{aRide("b", "a")},
				Pool:  []ride.Ride{aRide("b", "c")},
				Lacks: []ride.Lack{lack(ride.LackRide, 1, "d")}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, ride.PlanRides(c.shape, c.people)); diff != "" {
				t.Errorf("rides (-want +got):\n%s", diff)
			}
		})
	}
}

// company draws people with cars, children and towns.
func company(t *rapid.T, children bool) []ride.Traveller {
	var list []ride.Traveller
	for i := range rapid.IntRange(0, 14).Draw(t, "adults") {
		p := ride.Traveller{ID: fmt.Sprint("p", i), Name: fmt.Sprint("p", i), Staff: rapid.Bool().Draw(t, "staff")}
		if rapid.IntRange(0, 2).Draw(t, "drives") == 0 {
			p = drives(p.ID, rapid.IntRange(0, 6).Draw(t, "seats"))
		}
		if rapid.Bool().Draw(t, "shares") {
			p = from(rapid.SampledFrom([]string{"", "Dry Mills", "Salt Ford"}).Draw(t, "town"), p)
		}
		list = append(list, p)
		for j := range rapid.IntRange(0, 2).Draw(t, "children") {
			if children && rapid.IntRange(0, 2).Draw(t, "child") == 0 {
				list = append(list, child(fmt.Sprint(p.ID, "k", j),
					rapid.SampledFrom([]string{p.ID, p.ID, "gone"}).Draw(t, "adult"), rapid.Bool().Draw(t, "guarded")))
			}
		}
	}
	return list
}

func TestEverybodyHasASeatOrIsNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := company(t, true)
		r := ride.PlanRides(track.OneWay, people)
		by := map[string]ride.Traveller{}
		for _, p := range people {
			by[p.ID] = p
		}
		for _, p := range people {
			back, gone := seatsOf(r.Stand, p.ID), count(r.Seatless, p.ID)
			if back+gone != 1 {
				t.Fatalf("%s has %d seats back and is %d times without one: %+v", p.ID, back, gone, r)
			}
			if gone == 1 && !named(r.Lacks, p.ID) {
				t.Errorf("%s has no seat and nothing says why: %+v", p.ID, r)
			}
			if gone == 1 && p.Drives() && len(r.Stand) > 0 {
				t.Errorf("driver %s has no seat to the car: %+v", p.ID, r)
			}
			together(t, r, p, by)
		}
		for _, s := range r.Stand {
			if seatsOf(r.Ferry, s.Driver) != 1 ||
				slices.ContainsFunc(r.Ferry, func(f ride.Ride) bool { return f.Driver == s.Driver }) {
				t.Errorf("%s leaves a car at the end and is not brought to the start once: %+v", s.Driver, r)
			}
		}
		full(t, "end", r.Stand, by)
		full(t, "way there", merged(r.Ferry, r.Pool, by), by)
	})
}

// together checks that each child is with its adult on every leg.
func together(t *rapid.T, r ride.Rides, p ride.Traveller, by map[string]ride.Traveller) {
	if _, here := by[p.Adult]; !p.Minor || !here {
		return
	}
	for leg, rides := range map[string][]ride.Ride{"back": r.Stand, "ferry": r.Ferry, "there": r.Pool} {
		for _, car := range rides {
			if car.Has(p.ID) != car.Has(p.Adult) {
				t.Errorf("%s: child %s and adult %s are parted: %+v", leg, p.ID, p.Adult, r)
			}
		}
	}
}

// full checks that each car has no more riders than the seats it offers, besides the driver's
// own children.
func full(t *rapid.T, leg string, rides []ride.Ride, by map[string]ride.Traveller) {
	for _, car := range rides {
		others := 0
		for _, id := range car.Riders {
			if by[id].Adult != car.Driver {
				others++
			}
		}
		if seats := by[car.Driver].Car.Seats; others > seats || !by[car.Driver].Drives() {
			t.Errorf("%s: car of %s offers %d seats and takes %d", leg, car.Driver, seats, others)
		}
	}
}

// merged puts the riders of both legs of a morning into one car, children once.
func merged(ferry, pool []ride.Ride, by map[string]ride.Traveller) []ride.Ride {
	list := slices.Clone(ferry)
	for _, p := range pool {
		at := slices.IndexFunc(list, func(f ride.Ride) bool { return f.Driver == p.Driver })
		if at < 0 {
			list = append(list, p)
			continue
		}
		list[at].Riders = slices.Concat(list[at].Riders,
			slices.DeleteFunc(slices.Clone(p.Riders), func(id string) bool { return by[id].Adult == p.Driver }))
	}
	return list
}

func seatsOf(rides []ride.Ride, id string) (n int) {
	for _, r := range rides {
		n += count(append([]string{r.Driver}, r.Riders...), id)
	}
	return n
}

func count(ids []string, id string) (n int) {
	for _, x := range ids {
		if x == id {
			n++
		}
	}
	return n
}

func named(lacks []ride.Lack, id string) bool {
	return slices.ContainsFunc(lacks, func(l ride.Lack) bool { return slices.Contains(l.Who, id) })
}

func TestThePlanDoesNotDependOnTheOrderOfPeople(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := company(t, true)
		other := rapid.Permutation(people).Draw(t, "other order")
		if diff := cmp.Diff(ride.PlanRides(track.OneWay, people), ride.PlanRides(track.OneWay, other)); diff != "" {
			t.Errorf("another order gives another plan:\n%s", diff)
		}
	})
}

// A brute-force search tries for each car to leave it at the end, to ferry or to do neither,
// and counts seats.
func TestFewestCarsAreMoved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := company(t, false)
		var cars []int
		for _, p := range people {
			if p.Drives() && len(cars) < 7 {
				cars = append(cars, p.Car.Seats)
			} else if p.Drives() {
				return
			}
		}
		want, possible := fewestByCounting(cars, len(people))
		r := ride.PlanRides(track.OneWay, people)
		switch got := len(r.Stand) + len(r.Ferry); {
		case possible && (len(r.Seatless) > 0 || got != want):
			t.Errorf("cars %v for %d people: %d moved and %d without a seat, want %d moved and none",
				cars, len(people), got, len(r.Seatless), want)
		case !possible && len(people) > 0 && len(r.Seatless) == 0:
			t.Errorf("cars %v for %d people: everybody has a seat, which counting says cannot be: %+v",
				cars, len(people), r)
		}
	})
}

func fewestByCounting(cars []int, people int) (fewest int, possible bool) {
	ways := 1
	for range cars {
		ways *= 3
	}
	for way := range ways {
		end, standing, ferrying, moved := 0, 0, 0, 0
		for i, w := 0, way; i < len(cars); i, w = i+1, w/3 {
			switch w % 3 {
			case 1:
				end, standing, moved = end+1+cars[i], standing+1, moved+1
			case 2:
				ferrying, moved = ferrying+cars[i], moved+1
			}
		}
		if end >= people && ferrying >= standing && (!possible || moved < fewest) {
			fewest, possible = moved, true
		}
	}
	return fewest, possible
}
