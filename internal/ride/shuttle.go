package ride

import (
	"cmp"
	"slices"

	"saltbush/internal/hike"
)

// shuttle plans which cars are left at the end and which ones ferry.
func (r *Rides) shuttle(groups []group) {
	cars, people := drivers(groups), 0
	for _, g := range groups {
		people += g.size()
	}
	if people == 0 {
		return
	}
	best, first := tryChoices(groups[:cars], groups, people)
	r.Stand, r.Ferry, r.Seatless = best.Stand, best.Ferry, best.Seatless
	switch {
	case cars == 0:
		r.Lacks = append(r.Lacks, Lack{LackDriver, people, r.Seatless})
	case len(r.Seatless) == 0:
	default:
		if first.seats == 0 {
			r.Lacks = append(r.Lacks, Lack{LackFerry, 1, r.Seatless})
		}
		short := len(r.Seatless)
		if len(r.Stand) == 0 {
			short = max(1, people-first.seats)
		}
		r.Lacks = append(r.Lacks, Lack{LackSeats, short, r.Seatless})
	}
}

// drivers counts the groups that come in a car; they are first in the list.
func drivers(groups []group) int {
	n := 0
	for n < len(groups) && groups[n].head.Drives() {
		n++
	}
	return n
}

// spareSeats is how many more or fewer seats at the end are tried. Our judgment: if that does
// not keep a family together, more will not either, and the leader has to ask for another car.
const spareSeats = 8

// tryChoices returns the first choice of cars that seats everybody. Families are never split,
// so there may be seats that nobody fits; then it tries choices with more seats, and with
// fewer. If none seats everybody it returns the one that leaves the fewest without a seat. It
// also returns the choice it tried first.
func tryChoices(cars, groups []group, people int) (best Rides, first choice) {
	first, enough := choose(cars, people)
	best = seatAll(choice{}, groups)
	try := func(c choice) {
		if s := seatAll(c, groups); len(s.Seatless) < len(best.Seatless) {
			best = s
		}
	}
	try(first)
	for more := 1; more <= spareSeats && enough && len(best.Seatless) > 0; more++ {
		var c choice
		c, enough = choose(cars, people+more)
		try(c)
	}
	for fewer := 1; fewer <= spareSeats && fewer < people && len(best.Seatless) > 0; fewer++ {
		c, _ := choose(cars, people-fewer)
		try(c)
	}
	return best, first
}

// choice is a choice of cars by their index: some stay at the end, some ferry.
type choice struct {
	stand, ferry []int
	// seats is the number of seats in the cars at the end, including the drivers'. offered is
	// the number of seats that all moved cars offer to others.
	seats, offered int
	made           bool
}

// feasible reports whether the ferries seat everybody who came in a car that stays at the end.
// With own(x) the seats that the groups of cars x use themselves, and offered(x) the seats they
// offer, that is own(end) <= offered(ferry), where own(end) = seats - offered(end).
func (c choice) feasible() bool { return c.made && c.seats <= c.offered }

// choose returns the choice that moves the fewest cars and has the seats needed at the end. The
// search is exact: of all choices with the same number of moved cars and the same number of
// seats at the end it keeps the one that offers most. If no feasible choice has enough seats,
// it returns the one with the most seats, and false.
func choose(cars []group, need int) (choice, bool) {
	enough := need // no choice needs more seats at the end than this
	for _, car := range cars {
		enough = max(enough, need+car.seats())
	}
	best := make([][]choice, len(cars)+1)
	for i := range best {
		best[i] = make([]choice, enough+1)
	}
	best[0][0].made = true
	for i, car := range cars {
		for moved := i; moved >= 0; moved-- {
			for seats := enough; seats >= 0; seats-- { // of two equal choices, the first cars stay at the end
				best[moved][seats].extend(best[moved+1], car, i, true)
				best[moved][seats].extend(best[moved+1], car, i, false)
			}
		}
	}
	return fewest(best, need)
}

// extend adds one car to the choice and keeps the result if it offers more than what is stored
// for its number of seats.
func (c choice) extend(best []choice, car group, i int, stays bool) {
	seats, offered := c.seats, c.offered+car.head.Car.Seats
	if stays {
		seats += car.seats()
	}
	if !c.made || seats >= len(best) || best[seats].made && best[seats].offered >= offered {
		return
	}
	c.seats, c.offered = seats, offered
	if stays {
		c.stand = append(slices.Clip(c.stand), i)
	} else {
		c.ferry = append(slices.Clip(c.ferry), i)
	}
	best[seats] = c
}

func fewest(best [][]choice, need int) (choice, bool) {
	var most choice
	for _, row := range best {
		for _, c := range row {
			switch {
			case !c.feasible():
			case c.seats >= need:
				return c, true
			case c.seats > most.seats:
				most = c
			}
		}
	}
	return most, false
}

// seatAll gives people the seats in a choice of cars. Drivers come first, because they fetch
// the cars. If one of them got no seat, no car is moved.
func seatAll(c choice, groups []group) Rides {
	stand, ferry := seatFerried(c, groups)
	back := wagons(groups, stand)
	var r Rides
	stranded := false
	for _, g := range byNeed(groups) {
		own := func(w *wagon) bool { return w.of.head.ID == g.head.ID }
		if !slices.ContainsFunc(back, own) && !pack(back, g, anyCar) {
			r.Seatless = append(r.Seatless, g.ids()...)
			stranded = stranded || g.head.Drives()
		}
	}
	if stranded && c.made {
		return seatAll(choice{}, groups)
	}
	r.Stand = rides(back)
	if len(stand) > 0 {
		r.Ferry = withRiders(ferry)
	}
	return r
}

// seatFerried puts the drivers who leave a car at the end into the cars that ferry. A car whose
// driver gets no seat is not moved.
func seatFerried(c choice, groups []group) (stand []int, ferry []*wagon) {
	ferry = wagons(groups, c.ferry)
	at := map[string]int{}
	var moving []group
	for _, i := range c.stand {
		moving, at[groups[i].head.ID] = append(moving, groups[i]), i
	}
	for _, g := range byNeed(moving) {
		if pack(ferry, g, anyCar) {
			stand = append(stand, at[g.head.ID])
		}
	}
	slices.Sort(stand)
	return stand, ferry
}

// wagon is a car while it is being filled.
type wagon struct {
	of   group
	free int
	ride Ride
}

func newWagon(g group) *wagon {
	return &wagon{of: g, free: g.head.Car.Seats, ride: Ride{Driver: g.head.ID, Riders: slices.Clone(g.children)}}
}

func wagons(groups []group, which []int) []*wagon {
	var list []*wagon
	for _, i := range which {
		list = append(list, newWagon(groups[i]))
	}
	return list
}

func anyCar(*wagon) bool { return true }

// pack puts a group into a car, and reports whether one had the seats. It prefers the car of an
// adult who would be alone with a child not theirs, then the car with the fewest seats left.
func pack(cars []*wagon, g group, fits func(*wagon) bool) bool {
	var best *wagon
	for _, w := range cars {
		if w.free < g.size() || !fits(w) {
			continue
		}
		if best == nil || w.alone() && !best.alone() || w.alone() == best.alone() && w.free < best.free {
			best = w
		}
	}
	if best == nil {
		return false
	}
	best.free -= g.size()
	best.ride.Riders = append(best.ride.Riders, g.ids()...)
	return true
}

// alone reports whether the car has only an adult and one child not theirs.
func (w *wagon) alone() bool { return w.of.alone && len(w.ride.Riders) == 1 }

// byNeed sorts drivers first, then large groups, which are hard to place.
func byNeed(groups []group) []group {
	groups = slices.Clone(groups)
	slices.SortStableFunc(groups, func(a, b group) int {
		return cmp.Or(hike.TrueFirst(a.head.Drives(), b.head.Drives()), b.size()-a.size())
	})
	return groups
}

// rides lists the cars in the order in which they were chosen.
func rides(cars []*wagon) []Ride {
	var list []Ride
	for _, w := range cars {
		list = append(list, w.ride)
	}
	return list
}

// withRiders lists the cars that take anybody besides the driver's own children.
func withRiders(cars []*wagon) []Ride {
	var list []Ride
	for _, w := range cars {
		if len(w.ride.Riders) > len(w.of.children) {
			list = append(list, w.ride)
		}
	}
	return list
}
