package party

import (
	"slices"
	"strings"
	"time"
)

// Car is one car that the roll knows of.
type Car struct {
	Plate string
	// Persons came in it, and Owners are their names. Both are empty for strangers' cars.
	Persons []PersonID
	Owners  []string
	// Seen is when somebody saw it in the lot, zero if it is known from a sign-up only.
	Seen Sighting
	// Gone is when it had left, zero if it has not.
	Gone time.Time
	// Stays says why it may stay in the lot, and who wrote that; empty if it may not.
	Stays string
}

// PlateKey returns a number plate without spaces, dashes and case, so that two spellings of
// one plate are equal.
func PlateKey(plate string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '.', '\u00a0':
			return -1
		}
		return r
	}, strings.ToUpper(strings.TrimSpace(plate)))
}

// Ours reports whether somebody on the roll came in the car.
func (c Car) Ours() bool { return len(c.Persons) > 0 }

// OpenCars returns our cars that keep the hike open: seen in the lot or brought by somebody
// who came, and not gone since.
func (s State) OpenCars() []Car {
	var open []Car
	for _, c := range s.Cars {
		if c.Ours() && c.Gone.IsZero() && c.Stays == "" && (!c.Seen.At.IsZero() || s.anyCame(c.Persons)) {
			open = append(open, c)
		}
	}
	return open
}

func (s State) anyCame(list []PersonID) bool {
	return slices.ContainsFunc(s.People, func(p Person) bool {
		return slices.Contains(list, p.ID) && (p.marks.walked() || p.Where == WhereHere)
	})
}

// WithoutPlate lists the names of people who came by a car of their own whose plate nobody has
// written down: such a car cannot be looked for.
func (s State) WithoutPlate() []string {
	var names []string
	for _, p := range s.People {
		known := slices.ContainsFunc(s.Cars, func(c Car) bool { return slices.Contains(c.Persons, p.ID) })
		if p.Drives && !known && s.anyCame([]PersonID{p.ID}) {
			names = append(names, p.Name)
		}
	}
	return names
}

// Strangers returns the cars in the lot that belong to nobody on the roll, for the land
// manager.
func (s State) Strangers() []Car {
	return slices.DeleteFunc(slices.Clone(s.Cars), func(c Car) bool { return c.Ours() || !c.Gone.IsZero() })
}

// addCarOf adds the car whose plate somebody gave when they signed up.
func (r *reducer) addCarOf(e Entry) {
	if PlateKey(e.Plate) != "" {
		c := r.carWith(e.Plate)
		c.Persons, c.Owners = append(c.Persons, e.ID), append(c.Owners, e.Name)
	}
}

// carWith finds a car by its plate or adds it. The pointer is valid until the next call.
func (r *reducer) carWith(plate string) *Car {
	for i := range r.state.Cars {
		if PlateKey(r.state.Cars[i].Plate) == PlateKey(plate) {
			return &r.state.Cars[i]
		}
	}
	r.state.Cars = append(r.state.Cars, Car{Plate: strings.ToUpper(strings.TrimSpace(plate))})
	return &r.state.Cars[len(r.state.Cars)-1]
}

// car records plates that were seen or are gone. A car seen after it was recorded gone is
// in the lot again, and flagged.
func (r *reducer) car(e Event) {
	people := r.people(e, e.Persons)
	for _, plate := range e.Plates {
		c := r.carWith(plate)
		switch e.Kind {
		case KindCarGone:
			c.Gone, c.Stays = e.At, ""
			continue
		case KindCarStays:
			c.Stays = e.Note + " (" + e.By + ")"
			continue
		}
		if !c.Gone.IsZero() {
			r.flag(newFlag(FlagCarBack, e,
				c.Plate+": seen in the lot by "+e.By+" after it had been recorded gone"))
		}
		c.Seen, c.Gone = sightingOf(e), time.Time{}
		for _, p := range people {
			if !slices.Contains(c.Persons, p.ID) {
				c.Persons, c.Owners = append(c.Persons, p.ID), append(c.Owners, p.Name)
			}
		}
	}
}
