package hike_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/hike"
	"saltbush/internal/track"
)

// drives is a driver who offers seats to others, walks one without a car.
func drives(id string, seats int) hike.Traveller {
	return hike.Traveller{ID: id, Name: id, Car: hike.Car{Plate: "DRY " + id, Seats: seats}}
}

func walks(ids ...string) (list []hike.Traveller) {
	for _, id := range ids {
		list = append(list, hike.Traveller{ID: id, Name: id})
	}
	return list
}

func child(id, of string, guarded bool) hike.Traveller {
	return hike.Traveller{ID: id, Name: id, Minor: true, Adult: of, Guarded: guarded}
}

func from(town string, p hike.Traveller) hike.Traveller {
	p.Sharing = hike.Sharing{Town: town, Since: time.Unix(1, 0)}
	return p
}

func aRide(driver string, riders ...string) hike.Ride {
	return hike.Ride{Driver: driver, Riders: riders}
}

func lack(kind hike.LackKind, n int, who ...string) hike.Lack {
	return hike.Lack{Kind: kind, N: n, Who: who}
}

func TestCarsOfAOneWayHike(t *testing.T) {
	for _, c := range []struct {
		name   string
		people []hike.Traveller
		want   hike.Rides
	}{
		{"nobody comes", nil, hike.Rides{}},
		{"two cars: one at the end, the other ferries its driver",
			append(walks("c", "d"), drives("a", 3), drives("b", 1)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "b", "c", "d")}, Ferry: []hike.Ride{aRide("b", "a")}}},
		{"a third car that is not needed goes straight to the start",
			append(walks("d"), drives("a", 3), drives("b", 1), drives("c", 0)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "b", "c", "d")}, Ferry: []hike.Ride{aRide("b", "a")}}},
		{"one ferry brings two drivers",
			append(walks("d", "e", "f", "g"), drives("a", 3), drives("b", 3), drives("c", 2)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "e", "f", "g"), aRide("c", "b", "d")}, Ferry: []hike.Ride{aRide("b", "a", "c")}}},
		{"everybody is someone's passenger", walks("a", "b"),
			hike.Rides{Seatless: []string{"a", "b"}, Lacks: []hike.Lack{lack(hike.LackDriver, 2, "a", "b")}}},
		{"one car alone cannot be left at the end: nobody brings its driver to the start",
			append(walks("b"), drives("a", 4)),
			hike.Rides{Seatless: []string{"a", "b"}, Lacks: []hike.Lack{lack(hike.LackFerry, 1, "a", "b"), lack(hike.LackSeats, 2, "a", "b")}}},
		{"two cars that offer no seat ferry nobody", []hike.Traveller{drives("a", 0), drives("b", 0)},
			hike.Rides{Seatless: []string{"a", "b"}, Lacks: []hike.Lack{lack(hike.LackFerry, 1, "a", "b"), lack(hike.LackSeats, 2, "a", "b")}}},
		{"seats at the end too few by one: the drivers have theirs",
			append(walks("c", "d"), drives("a", 2), drives("b", 2)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "b", "c")}, Ferry: []hike.Ride{aRide("b", "a")}, Seatless: []string{"d"},
				Lacks: []hike.Lack{lack(hike.LackSeats, 1, "d")}}},
		{"a shuttle that leaves a driver without a seat is none",
			[]hike.Traveller{drives("a", 1), drives("b", 1), drives("c", 0)},
			hike.Rides{Seatless: []string{"a", "b", "c"}, Lacks: []hike.Lack{lack(hike.LackSeats, 1, "a", "b", "c")}}},
		{"staff move their cars before others who offer as much",
			append(walks("d", "e"), drives("a", 2), drives("b", 4), hike.Traveller{ID: "z", Name: "z", Staff: true, Car: hike.Car{Plate: "Z 1", Seats: 2}}),
			hike.Rides{Stand: []hike.Ride{aRide("b", "z", "a", "d", "e")}, Ferry: []hike.Ride{aRide("z", "b")}}},
		{"children ride with their adult, who may ride with another",
			append(walks("m"), drives("a", 4), drives("b", 2), child("k", "m", true), child("j", "b", true)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "b", "j", "m", "k")}, Ferry: []hike.Ride{aRide("b", "j", "a")}}},
		{"the children of who leaves a car at the end are ferried too",
			append(walks("d"), drives("a", 3), drives("b", 2), child("k", "a", true)),
			hike.Rides{Stand: []hike.Ride{aRide("a", "k", "b", "d")}, Ferry: []hike.Ride{aRide("b", "a", "k")}}},
		{"a family that fits into one car only has it at the end",
			append(walks("m", "x"), drives("a", 2), drives("b", 2), drives("c", 2), drives("d", 3), child("k", "m", true), child("l", "m", true)),
			hike.Rides{Stand: []hike.Ride{aRide("d", "m", "k", "l"), aRide("a", "b", "c")}, Ferry: []hike.Ride{aRide("b", "d", "a")},
				Seatless: []string{"x"}, Lacks: []hike.Lack{lack(hike.LackSeats, 1, "x")}}},
		{"a child's car is no car, and a child without its adult has no seat",
			append(walks("c"), drives("a", 3), drives("b", 1), hike.Traveller{ID: "k", Name: "k", Minor: true, Adult: "gone", Car: hike.Car{Plate: "K 1", Seats: 7}}),
			hike.Rides{Stand: []hike.Ride{aRide("a", "b", "c")}, Ferry: []hike.Ride{aRide("b", "a")}, Seatless: []string{"k"},
				Lacks: []hike.Lack{lack(hike.LackAdult, 1, "k")}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.want.OneWay = true
			if diff := cmp.Diff(c.want, hike.PlanRides(track.OneWay, c.people)); diff != "" {
				t.Errorf("rides (-want +got):\n%s", diff)
			}
		})
	}
}

func TestRidesToTheTrailhead(t *testing.T) {
	for _, c := range []struct {
		name   string
		shape  track.Shape
		people []hike.Traveller
		want   hike.Rides
	}{
		{"from the same town, however it is written", track.Loop,
			[]hike.Traveller{from("Dry Mills", drives("a", 2)), from(" dry  mills", walks("b")[0]), from("Salt Ford", walks("c")[0])},
			hike.Rides{Pool: []hike.Ride{aRide("a", "b")}, Lacks: []hike.Lack{lack(hike.LackRide, 1, "c")}}},
		{"not with who did not say yes", track.OutAndBack,
			[]hike.Traveller{drives("a", 2), from("Dry Mills", walks("b")[0])},
			hike.Rides{Lacks: []hike.Lack{lack(hike.LackRide, 1, "b")}}},
		{"who did not say yes is not looked for", track.Loop,
			append(walks("b"), from("Dry Mills", drives("a", 2))), hike.Rides{}},
		{"no town is no match", track.Loop,
			[]hike.Traveller{from("", drives("a", 2)), from("", walks("b")[0])},
			hike.Rides{Lacks: []hike.Lack{lack(hike.LackRide, 1, "b")}}},
		{"a child not theirs makes two who need a third", track.Loop,
			[]hike.Traveller{from("Dry Mills", drives("a", 3)), child("k", "a", false), from("Dry Mills", drives("b", 3)), child("l", "b", true), from("Dry Mills", walks("c")[0])},
			hike.Rides{Pool: []hike.Ride{aRide("a", "k", "c")}}},
		{"an adult would be alone with a child not theirs", track.OneWay,
			append(walks("d"), drives("a", 0), child("k", "a", false), drives("b", 2), drives("c", 3)),
			hike.Rides{OneWay: true, Stand: []hike.Ride{aRide("b", "c", "d"), aRide("a", "k")}, Ferry: []hike.Ride{aRide("c", "a", "k", "b")},
				Lacks: []hike.Lack{lack(hike.LackSecond, 1, "k")}}},
		{"a guardian may", track.OneWay,
			append(walks("d"), drives("a", 0), child("k", "a", true), drives("b", 2), drives("c", 3)),
			hike.Rides{OneWay: true, Stand: []hike.Ride{aRide("b", "c", "d"), aRide("a", "k")}, Ferry: []hike.Ride{aRide("c", "a", "k", "b")}}},
		{"who brings a car to the end takes nobody; who ferries takes whom the seats left allow", track.OneWay,
			[]hike.Traveller{from("Dry Mills", drives("a", 4)), from("Dry Mills", drives("b", 2)), from("Dry Mills", walks("c")[0]), from("Dry Mills", walks("d")[0])},
			hike.Rides{OneWay: true, Stand: []hike.Ride{aRide("a", "b", "c", "d")}, Ferry: []hike.Ride{aRide("b", "a")}, Pool: []hike.Ride{aRide("b", "c")},
				Lacks: []hike.Lack{lack(hike.LackRide, 1, "d")}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, hike.PlanRides(c.shape, c.people)); diff != "" {
				t.Errorf("rides (-want +got):\n%s", diff)
			}
		})
	}
}

// company draws people with cars, children and towns.
func company(t *rapid.T, children bool) []hike.Traveller {
	var list []hike.Traveller
	for i := range rapid.IntRange(0, 14).Draw(t, "adults") {
		p := hike.Traveller{ID: fmt.Sprint("p", i), Name: fmt.Sprint("p", i), Staff: rapid.Bool().Draw(t, "staff")}
		if rapid.IntRange(0, 2).Draw(t, "drives") == 0 {
			p = drives(p.ID, rapid.IntRange(0, 6).Draw(t, "seats"))
		}
		if rapid.Bool().Draw(t, "shares") {
			p = from(rapid.SampledFrom([]string{"", "Dry Mills", "Salt Ford"}).Draw(t, "town"), p)
		}
		list = append(list, p)
		for j := range rapid.IntRange(0, 2).Draw(t, "children") {
			if children && rapid.IntRange(0, 2).Draw(t, "child") == 0 {
				list = append(list, child(fmt.Sprint(p.ID, "k", j), rapid.SampledFrom([]string{p.ID, p.ID, "gone"}).Draw(t, "adult"), rapid.Bool().Draw(t, "guarded")))
			}
		}
	}
	return list
}

func TestEverybodyHasASeatOrIsNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := company(t, true)
		r := hike.PlanRides(track.OneWay, people)
		by := map[string]hike.Traveller{}
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
			if seatsOf(r.Ferry, s.Driver) != 1 || slices.ContainsFunc(r.Ferry, func(f hike.Ride) bool { return f.Driver == s.Driver }) {
				t.Errorf("%s leaves a car at the end and is not brought to the start once: %+v", s.Driver, r)
			}
		}
		full(t, "end", r.Stand, by)
		full(t, "way there", merged(r.Ferry, r.Pool, by), by)
	})
}

// together holds a child to its adult on every leg.
func together(t *rapid.T, r hike.Rides, p hike.Traveller, by map[string]hike.Traveller) {
	if _, here := by[p.Adult]; !p.Minor || !here {
		return
	}
	for leg, rides := range map[string][]hike.Ride{"back": r.Stand, "ferry": r.Ferry, "there": r.Pool} {
		for _, car := range rides {
			if car.Has(p.ID) != car.Has(p.Adult) {
				t.Errorf("%s: child %s and adult %s are parted: %+v", leg, p.ID, p.Adult, r)
			}
		}
	}
}

// full holds each car to the seats that it offers beside those of its driver's children.
func full(t *rapid.T, leg string, rides []hike.Ride, by map[string]hike.Traveller) {
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

// merged puts riders of both legs of a morning into one car, children once.
func merged(ferry, pool []hike.Ride, by map[string]hike.Traveller) []hike.Ride {
	list := slices.Clone(ferry)
	for _, p := range pool {
		at := slices.IndexFunc(list, func(f hike.Ride) bool { return f.Driver == p.Driver })
		if at < 0 {
			list = append(list, p)
			continue
		}
		list[at].Riders = slices.Concat(list[at].Riders, slices.DeleteFunc(slices.Clone(p.Riders), func(id string) bool { return by[id].Adult == p.Driver }))
	}
	return list
}

func seatsOf(rides []hike.Ride, id string) (n int) {
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

func named(lacks []hike.Lack, id string) bool {
	return slices.ContainsFunc(lacks, func(l hike.Lack) bool { return slices.Contains(l.Who, id) })
}

func TestThePlanDoesNotDependOnTheOrderOfPeople(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := company(t, true)
		other := rapid.Permutation(people).Draw(t, "other order")
		if diff := cmp.Diff(hike.PlanRides(track.OneWay, people), hike.PlanRides(track.OneWay, other)); diff != "" {
			t.Errorf("another order gives another plan:\n%s", diff)
		}
	})
}

// Every way to leave cars at the end, to ferry or to do neither is tried by counting seats.
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
		r := hike.PlanRides(track.OneWay, people)
		switch got := len(r.Stand) + len(r.Ferry); {
		case possible && (len(r.Seatless) > 0 || got != want):
			t.Errorf("cars %v for %d people: %d moved and %d without a seat, want %d moved and none", cars, len(people), got, len(r.Seatless), want)
		case !possible && len(people) > 0 && len(r.Seatless) == 0:
			t.Errorf("cars %v for %d people: everybody has a seat, which counting says cannot be: %+v", cars, len(people), r)
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
