package ride

import (
	"cmp"
	"slices"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/internal/text"
	"saltbush/internal/track"
)

// Traveller is somebody who comes to a hike, as the car plan sees them.
type Traveller struct {
	ID    string // on the roll
	Name  string
	Staff bool
	Minor bool
	// Adult is the ID of who answers for a minor on the hike; "" for nobody. Guarded means that
	// this adult is the child's guardian.
	Adult   string
	Guarded bool
	Car     signup.Car
	Sharing Sharing
}

// Drives reports whether the person comes in their own car.
func (t Traveller) Drives() bool { return !t.Minor && t.Car.Known() }

// Ride is one car on one leg: the driver and the riders, the driver's own children first.
type Ride struct {
	Driver string
	Riders []string
}

// Has reports whether somebody is in the car.
func (r Ride) Has(id string) bool { return r.Driver == id || slices.Contains(r.Riders, id) }

// LackKind is what a car plan lacks.
type LackKind string

// The values of LackKind.
const (
	LackDriver LackKind = "driver"       // nobody drives
	LackFerry  LackKind = "ferry"        // nobody takes the drivers from the end to the start
	LackSeats  LackKind = "seats"        // too few seats at the end
	LackAdult  LackKind = "adult"        // a child without its adult
	LackSecond LackKind = "second adult" // an adult alone in a car with one child, not theirs
	LackRide   LackKind = "ride"         // asks for a ride to the trailhead and has none
)

// Lack is one thing the plan lacks: how many of it, and who is concerned.
type Lack struct {
	Kind LackKind
	N    int
	Who  []string
}

// Rides is the car plan of a hike. It does not depend on the order of the people.
type Rides struct {
	OneWay bool
	// Stand has the cars that are left at the end before the start, with who rides back to the
	// start in each after the walk. Ferry has the cars that take their drivers from the end to
	// the start and stay there.
	Stand, Ferry []Ride
	// Pool has the cars that take others to the trailhead.
	Pool []Ride
	// Seatless has the people without a seat back to the start. No driver is among them while
	// any car is moved.
	Seatless []string
	Lacks    []Lack
}

// PlanRides plans the cars of a hike. On a one-way track everybody rides back from the end at
// once, as few cars as possible are moved before the start, and whoever leaves a car at the end
// gets a seat to the start. Practice says only that both are needed. The rest is our judgment:
// nobody waits at the end in the heat for a second trip, and drivers who leave a car at the
// end, or ferry others, take people to the trailhead only as their free seats allow.
func PlanRides(shape track.Shape, people []Traveller) Rides {
	groups, alone := groupsOf(people)
	r := Rides{OneWay: shape == track.OneWay}
	if r.OneWay {
		r.shuttle(groups)
		r.Seatless = append(r.Seatless, alone...)
	}
	if len(alone) > 0 {
		r.Lacks = append(r.Lacks, Lack{LackAdult, len(alone), alone})
	}
	r.carpool(groups)
	r.checkTwoAdults(people)
	return r
}

// group is an adult with the children who ride with them. It is never split.
type group struct {
	head     Traveller
	children []string
	alone    bool // one child, and the head is not their guardian
}

func (g group) size() int { return 1 + len(g.children) }

func (g group) ids() []string { return append([]string{g.head.ID}, g.children...) }

// seats returns how many people the group's own car seats. Our judgment: seats are offered to
// others, so drivers have already counted out their own children.
func (g group) seats() int { return g.size() + g.head.Car.Seats }

// groupsOf puts children with their adults, and returns those without one separately. The
// groups are in the order in which their cars are used: most seats offered first, then staff,
// who are early anyway, then by name.
func groupsOf(people []Traveller) (groups []group, alone []string) {
	people = slices.Clone(people)
	slices.SortFunc(people, carOrder)
	at := map[string]int{}
	for _, p := range people {
		if !p.Minor {
			at[p.ID] = len(groups)
			groups = append(groups, group{head: p})
		}
	}
	for _, p := range people {
		i, known := at[p.Adult]
		switch {
		case p.Minor && known:
			groups[i].children = append(groups[i].children, p.ID)
			groups[i].alone = len(groups[i].children) == 1 && !p.Guarded
		case p.Minor:
			alone = append(alone, p.ID)
		}
	}
	return groups, alone
}

func carOrder(a, b Traveller) int {
	seats := 0
	if a.Drives() && b.Drives() {
		seats = b.Car.Seats - a.Car.Seats
	}
	return cmp.Or(
		hike.TrueFirst(a.Drives(), b.Drives()), seats, hike.TrueFirst(a.Staff, b.Staff),
		cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID),
	)
}

// carpool gives people without a car a ride to the trailhead with a driver from the same town,
// if both agreed to share. Our judgment: only the town is compared; a detour is between the two
// of them.
func (r *Rides) carpool(groups []group) {
	var asking []group
	var cars []*wagon
	for _, g := range groups {
		switch {
		case g.head.Drives() && g.head.Sharing.Yes():
			if w := r.toTrailhead(g); w.free > 0 {
				cars = append(cars, w)
			}
		case !g.head.Drives() && g.head.Sharing.Yes():
			asking = append(asking, g)
		}
	}
	lack := Lack{Kind: LackRide}
	for _, g := range byNeed(asking) {
		if !pack(cars, g, func(w *wagon) bool { return sameTown(w.of.head, g.head) }) {
			lack.N, lack.Who = lack.N+g.size(), append(lack.Who, g.ids()...)
		}
	}
	r.Pool = withRiders(cars)
	if lack.N > 0 {
		r.Lacks = append(r.Lacks, lack)
	}
}

// toTrailhead returns the car of a group with the seats free on the way to the trailhead.
func (r *Rides) toTrailhead(g group) *wagon {
	w := newWagon(g)
	for _, s := range r.Stand {
		if s.Driver == g.head.ID {
			w.free = 0 // a rider would need another seat from the end to the start
		}
	}
	for _, f := range r.Ferry {
		if f.Driver == g.head.ID {
			w.free = g.seats() - 1 - len(f.Riders)
		}
	}
	return w
}

func sameTown(a, b Traveller) bool { return text.Same(a.Sharing.Town, b.Sharing.Town) }

// checkTwoAdults finds the cars in which an adult would be alone with one child who is not
// theirs. Youth programs ask for two adults (scouting safety texts, two-adult rule).
func (r *Rides) checkTwoAdults(people []Traveller) {
	by := map[string]Traveller{}
	for _, p := range people {
		by[p.ID] = p
	}
	lack := Lack{Kind: LackSecond}
	for _, ride := range slices.Concat(r.Stand, r.Ferry, r.Pool) {
		if len(ride.Riders) != 1 {
			continue
		}
		child := by[ride.Riders[0]]
		if child.Minor && !(child.Guarded && child.Adult == ride.Driver) && !slices.Contains(lack.Who, child.ID) {
			lack.N, lack.Who = lack.N+1, append(lack.Who, child.ID)
		}
	}
	if lack.N > 0 {
		r.Lacks = append(r.Lacks, lack)
	}
}
