package ride

import "slices"

// shuttle fills in the cars at the end and those that ferry.
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

// drivers counts those who come in a car; they are the first of the groups.
func drivers(groups []group) int {
	n := 0
	for n < len(groups) && groups[n].head.Drives() {
		n++
	}
	return n
}

// House judgement: where so many seats more or fewer at the end do not place a family whole,
// others do not either, and the leader has to ask for another car.
const spareSeats = 8

// tryChoices takes the first choice of cars that seats everybody. Families are never parted,
// so seats may be left that nobody fits: then choices with more and with fewer of them are
// tried. It returns what leaves the fewest without a seat, with the first choice of cars.
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

// choice is a choice of cars by their place in the list: some stand at the end, some ferry.
type choice struct {
	stand, ferry []int
	// seats are those in the cars at the end, own ones included; offered are the seats that
	// all moved cars offer to others.
	seats, offered int
	made           bool
}

// carries reports whether the ferries have a seat for everybody who came in a car that
// stands at the end. With own the seats that a group itself takes, it is
// sum(own, end) <= sum(offered, ferry), and sum(own, end) = seats - sum(offered, end).
func (c choice) carries() bool { return c.made && c.seats <= c.offered }

// choose finds the fewest cars to move so that those at the end have the seats that are
// needed. It is exact: of all choices that move as many cars and leave as many seats at the
// end, the one that offers most is kept. Where no choice has the seats, the one with most
// of them that carries is returned, and false.
func choose(cars []group, need int) (choice, bool) {
	enough := need // no choice needs one car more at the end than this
	for _, car := range cars {
		enough = max(enough, need+car.seats())
	}
	kept := make([][]choice, len(cars)+1)
	for i := range kept {
		kept[i] = make([]choice, enough+1)
	}
	kept[0][0].made = true
	for i, car := range cars {
		for moved := i; moved >= 0; moved-- {
			for seats := enough; seats >= 0; seats-- { // of two equal choices the first cars stand
				kept[moved][seats].into(kept[moved+1], car, i, true)
				kept[moved][seats].into(kept[moved+1], car, i, false)
			}
		}
	}
	return fewest(kept, need)
}

// into keeps the choice with one car more, where it offers more than what is kept.
func (c choice) into(kept []choice, car group, i int, stands bool) {
	seats, offered := c.seats, c.offered+car.head.Car.Seats
	if stands {
		seats += car.seats()
	}
	if !c.made || seats >= len(kept) || kept[seats].made && kept[seats].offered >= offered {
		return
	}
	c.seats, c.offered = seats, offered
	if stands {
		c.stand = append(slices.Clip(c.stand), i)
	} else {
		c.ferry = append(slices.Clip(c.ferry), i)
	}
	kept[seats] = c
}

func fewest(kept [][]choice, need int) (choice, bool) {
	var most choice
	for _, row := range kept {
		for _, c := range row {
			switch {
			case !c.carries():
			case c.seats >= need:
				return c, true
			case c.seats > most.seats:
				most = c
			}
		}
	}
	return most, false
}

// seatAll gives everybody a seat as far as the cars of a choice reach. Drivers come first,
// so that whoever has to fetch a car can; where one of them had no seat, no car is moved.
func seatAll(c choice, groups []group) Rides {
	stand, ferry := ferried(c, groups)
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
		r.Ferry = taking(ferry)
	}
	return r
}

// ferried seats those who leave a car at the end in the cars that ferry. A car whose people
// find no seat is not moved.
func ferried(c choice, groups []group) (stand []int, ferry []*wagon) {
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

// wagon is a car while it is filled.
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

// pack puts a group into a car, and reports whether one has the seats: first with an adult
// who would be alone with a child not theirs, then where the fewest seats stay empty.
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

// alone reports whether nobody else sits in the car of an adult and one child not theirs.
func (w *wagon) alone() bool { return w.of.alone && len(w.ride.Riders) == 1 }

// byNeed puts drivers first, then large groups, which are hard to place.
func byNeed(groups []group) []group {
	groups = slices.Clone(groups)
	slices.SortStableFunc(groups, func(a, b group) int {
		if a.head.Drives() != b.head.Drives() {
			return yesFirst(a.head.Drives())
		}
		return b.size() - a.size()
	})
	return groups
}

// rides lists the cars in the order in which they were taken.
func rides(cars []*wagon) []Ride {
	var list []Ride
	for _, w := range cars {
		list = append(list, w.ride)
	}
	return list
}

// taking lists the cars that take along anybody beside the driver's own.
func taking(cars []*wagon) []Ride {
	var list []Ride
	for _, w := range cars {
		if len(w.ride.Riders) > len(w.of.children) {
			list = append(list, w.ride)
		}
	}
	return list
}
