package roll

import (
	"slices"
	"strings"
	"time"

	"saltbush/internal/signup"
)

// Car is one car that the roll knows of.
type Car struct {
	Plate string
	// Persons came in it. Strangers' cars have none.
	Persons []PersonID
	Owners  []string
	// Seen is when somebody saw it in the lot, zero where it is known from a sign-up alone.
	Seen Seen
	// Gone is when it had left, zero while it has not.
	Gone time.Time
}

// Ours reports whether somebody on the roll came in the car.
func (c Car) Ours() bool { return len(c.Persons) > 0 }

// OpenCars are those of ours that keep the hike open: seen in the lot, or said to bring
// somebody who came, and not gone since.
func (s State) OpenCars() []Car {
	var open []Car
	for _, c := range s.Cars {
		if c.Ours() && c.Gone.IsZero() && (!c.Seen.At.IsZero() || s.anyCame(c.Persons)) {
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

// Strangers are cars in the lot that belong to nobody on the roll: for the land manager.
func (s State) Strangers() []Car {
	return slices.DeleteFunc(slices.Clone(s.Cars), func(c Car) bool { return c.Ours() || !c.Gone.IsZero() })
}

// knownCar takes the plate of a sign-up.
func (f *reducer) knownCar(e Entry) {
	if signup.PlateKey(e.Plate) != "" {
		c := f.carOf(e.Plate)
		c.Persons, c.Owners = append(c.Persons, e.ID), append(c.Owners, e.Name)
	}
}

// carOf finds a car by its plate or makes it. The pointer holds until the next call.
func (f *reducer) carOf(plate string) *Car {
	for i := range f.state.Cars {
		if signup.PlateKey(f.state.Cars[i].Plate) == signup.PlateKey(plate) {
			return &f.state.Cars[i]
		}
	}
	f.state.Cars = append(f.state.Cars, Car{Plate: strings.ToUpper(strings.TrimSpace(plate))})
	return &f.state.Cars[len(f.state.Cars)-1]
}

// car keeps a plate that was seen, or that is gone. One seen after it had gone is there.
func (f *reducer) car(e Event) {
	people := f.people(e, e.Persons)
	for _, plate := range e.Plates {
		c := f.carOf(plate)
		if e.Kind == KindCarGone {
			c.Gone = e.At
			continue
		}
		if !c.Gone.IsZero() {
			f.flag(newFlag(FlagCarBack, e, c.Plate+": seen in the lot by "+e.By+" after it had been recorded gone"))
		}
		c.Seen, c.Gone = seen(e), time.Time{}
		for _, p := range people {
			if !slices.Contains(c.Persons, p.ID) {
				c.Persons, c.Owners = append(c.Persons, p.ID), append(c.Owners, p.Name)
			}
		}
	}
}
