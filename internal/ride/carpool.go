package ride

import (
	"slices"
	"strings"

	"saltbush/internal/signup"
	"saltbush/internal/text"
	"saltbush/internal/track"
)

// Traveller is somebody who comes to a hike, as far as cars are concerned.
type Traveller struct {
	ID    string // on the roll
	Name  string
	Staff bool
	Minor bool
	// Adult is the ID of who answers for a minor on the hike, "" where nobody does; Guarded
	// says that this adult is the child's guardian.
	Adult   string
	Guarded bool
	Car     signup.Car
	Sharing Sharing
}

// Drives reports whether the person comes in a car of their own.
func (t Traveller) Drives() bool { return !t.Minor && t.Car.Known() }

// Ride is one car on one leg: who drives it and who rides along, the driver's own children
// first.
type Ride struct {
	Driver string
	Riders []string
}

// Has reports whether somebody sits in the car.
func (r Ride) Has(id string) bool { return r.Driver == id || slices.Contains(r.Riders, id) }

// LackKind is what a plan of cars is missing.
type LackKind string

// What may be missing.
const (
	LackDriver LackKind = "driver"       // everybody is someone's passenger
	LackFerry  LackKind = "ferry"        // nobody to bring drivers from the end to the start
	LackSeats  LackKind = "seats"        // seats at the end too few
	LackAdult  LackKind = "adult"        // a child without its adult
	LackSecond LackKind = "second adult" // an adult alone in a car with a child not theirs
	LackRide   LackKind = "ride"         // asks for a ride to the trailhead and has none
)

// Lack is one thing that is missing: how many, and whom it touches.
type Lack struct {
	Kind LackKind
	N    int
	Who  []string
}

// Rides is the plan of the cars of a hike. It is the same for the same people, in whatever
// order they come.
type Rides struct {
	OneWay bool
	// Stand are the cars that stand at the end before the start, with who rides back to the
	// start in each after the walk; Ferry are those that bring the drivers of the first from
	// the end to the start before it, and stay there.
	Stand, Ferry []Ride
	// Pool are the cars that bring others to the trailhead.
	Pool []Ride
	// Seatless have no seat back to the start in one go. No driver is ever among them while
	// a car is moved.
	Seatless []string
	Lacks    []Lack
}

// PlanRides works out the cars of a hike. On a one-way track everybody rides back from the
// end in one go, the fewest cars are moved before the start, and whoever leaves a car at
// the end has a seat to the start. House judgement, where trade practice says no more than
// that both are needed: nobody waits at the end in the heat for a second trip, and who
// brings a car to the end or ferries drivers takes along to the trailhead only whom the
// seats left allow.
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
	r.pool(groups)
	r.seconds(people)
	return r
}

// group is an adult with the children who ride with them: never parted.
type group struct {
	head     Traveller
	children []string
	alone    bool // one child, whose guardian the head is not
}

func (g group) size() int { return 1 + len(g.children) }

func (g group) ids() []string { return append([]string{g.head.ID}, g.children...) }

// seats is how many sit in the group's own car. House judgement: seats are offered to
// others, so whoever offers some has counted their own children off already.
func (g group) seats() int { return g.size() + g.head.Car.Seats }

// groupsOf puts children to their adults, and lists those who have none. The groups come
// in the order in which their cars are taken: most seats to offer, then staff, who are
// there early anyway, then by name.
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
	switch {
	case a.Drives() != b.Drives():
		return yesFirst(a.Drives())
	case a.Drives() && a.Car.Seats != b.Car.Seats:
		return b.Car.Seats - a.Car.Seats
	case a.Staff != b.Staff:
		return yesFirst(a.Staff)
	case a.Name != b.Name:
		return strings.Compare(a.Name, b.Name)
	}
	return strings.Compare(a.ID, b.ID)
}

func yesFirst(a bool) int {
	if a {
		return -1
	}
	return 1
}

// pool brings those without a car to the trailhead with a driver from the same town, where
// both said yes to it. House judgement: only the town is compared; how far one would go out
// of the way is between the two.
func (r *Rides) pool(groups []group) {
	var wanting []group
	var cars []*wagon
	for _, g := range groups {
		switch {
		case g.head.Drives() && g.head.Sharing.Yes():
			if w := r.toTrailhead(g); w.free > 0 {
				cars = append(cars, w)
			}
		case !g.head.Drives() && g.head.Sharing.Yes():
			wanting = append(wanting, g)
		}
	}
	lack := Lack{Kind: LackRide}
	for _, g := range byNeed(wanting) {
		if !pack(cars, g, func(w *wagon) bool { return sameTown(w.of.head, g.head) }) {
			lack.N, lack.Who = lack.N+g.size(), append(lack.Who, g.ids()...)
		}
	}
	r.Pool = taking(cars)
	if lack.N > 0 {
		r.Lacks = append(r.Lacks, lack)
	}
}

// toTrailhead is the car of a group with the seats that others can have on the way there.
func (r *Rides) toTrailhead(g group) *wagon {
	w := newWagon(g)
	for _, s := range r.Stand {
		if s.Driver == g.head.ID {
			w.free = 0 // a rider would need a seat from the end to the start again
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

// seconds finds the cars in which an adult would be alone with one child that is not
// theirs: youth programmes ask for two adults (scouting safety texts, two-adult rule).
func (r *Rides) seconds(people []Traveller) {
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
