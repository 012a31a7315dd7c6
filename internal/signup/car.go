package signup

import (
	"strings"

	"saltbush/internal/fault"
	"saltbush/internal/party"
)

// Car is the car a person comes in, so that a car left in the lot can be told from a
// stranger's. The zero value is a person without a car, or one who did not say.
type Car struct {
	Plate  string
	Make   string
	Colour string
	// Seats is how many others the driver can take.
	Seats int
	// Lot is where it will be parked; "" for the meeting point.
	Lot string
}

// Our judgment: even the widest van has fewer seats to offer.
const mostSeats = 20

// Known reports whether a plate was given.
func (c Car) Known() bool { return party.PlateKey(c.Plate) != "" }

// String describes the car in one line, the way people look for it.
func (c Car) String() string {
	var parts []string
	for _, s := range []string{strings.TrimSpace(c.Colour + " " + c.Make), c.Plate} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, ", ")
}

// CheckCar adds the faults of what a person says about their car.
func CheckCar(v fault.Invalid, c Car) {
	v.AtMost("plate", c.Plate, 20)
	v.AtMost("car_make", c.Make, 80)
	v.AtMost("car_colour", c.Colour, 80)
	v.AtMost("car_lot", c.Lot, 80)
	if c.Seats < 0 || c.Seats > mostSeats {
		v.Add("car_seats", "Give the seats you can offer, 0 to 20.")
	}
	if c.Seats > 0 && !c.Known() {
		v.Add("plate", "You offer seats: give the plate of the car.")
	}
}
