package ride

import (
	"cmp"
	"context"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/text"
	"saltbush/internal/trail"
)

// Shuttle is what a leader decides about the cars of a one-way hike.
type Shuttle struct {
	EndLot string        // where cars are parked at the end, in words
	Drive  time.Duration // from there to the start, as the leader knows it; zero if unknown
	By     string
	At     time.Time
}

// Validate returns an Invalid that lists each fault.
func (s Shuttle) Validate() error {
	v := fault.Invalid{}
	v.Require("end_lot", s.EndLot, 120, "Say where the cars stand at the end.")
	// Our judgment: nobody sets up a shuttle of more than four hours for a day hike.
	if s.Drive < time.Minute || s.Drive > 4*time.Hour {
		v.Add("drive_minutes", "Give the minutes from the end to the start by road, 1 to 240.")
	}
	return v.Err()
}

// parking is the time to park at the end, lock up, and move the packs into the other car. Our
// judgment.
const parking = 10 * time.Minute

// ShuttleTimes returns when people who leave a car at the end should be there, and when they
// leave to be at the start by the meeting time. Both are zero if the drive is unknown.
func (s Shuttle) ShuttleTimes(h hike.Hike) (atEnd, leave time.Time) {
	if s.Drive == 0 {
		return time.Time{}, time.Time{}
	}
	leave = h.Meet.Add(-s.Drive)
	return leave.Add(-parking), leave
}

// RideTold is a person's part as we last told them, and how often we did.
type RideTold struct {
	Part  string
	Times int
}

// Book is what is stored about the cars of a hike outside its sign-ups. It identifies people by
// their IDs on the roll.
type Book struct {
	Shuttle Shuttle
	Sharing map[string]Sharing
	Cars    map[string]signup.Car // of staff
	Told    map[string]RideTold
	// Opened is when the car plan was first announced. Until then nobody is told anything.
	Opened time.Time
}

// Store stores ride books.
type Store interface {
	// RideBook loads the book of a hike. It is empty if nothing is stored.
	RideBook(ctx context.Context, id ref.Hike) (Book, error)
	// ChangeRides locks the hike, applies change and saves the book. If change returns an
	// error, so does ChangeRides, and nothing is saved.
	ChangeRides(ctx context.Context, id ref.Hike, change func(hike.Hike, []signup.SignUp, *Book) error) error
}

// Travellers returns the people who come: the staff and everybody with a confirmed place.
func Travellers(h hike.Hike, places []signup.SignUp, b Book) []Traveller {
	var list []Traveller
	for _, m := range h.Staff {
		list = append(list,
			Traveller{ID: m.Person, Name: m.Name, Staff: true, Car: b.Cars[m.Person], Sharing: b.Sharing[m.Person]})
	}
	for _, p := range places {
		if p.State != signup.Confirmed {
			continue
		}
		t := Traveller{ID: p.ID, Name: p.Name, Minor: p.Minor, Car: p.Car, Sharing: b.Sharing[p.ID]}
		if p.Minor {
			t.Adult, t.Guarded, t.Sharing = adultID(p, h, places), text.Same(p.Adult, p.Guardian), Sharing{}
		}
		list = append(list, t)
	}
	return list
}

// adultID returns who answers for a minor among the people who come; "" for nobody.
func adultID(p signup.SignUp, h hike.Hike, places []signup.SignUp) string {
	adult, _ := p.AdultAmong(signup.Adults(signup.Walking(places), h.Staff))
	return string(adult.ID)
}

// Part is one person's part in the car plan, in the order of the day. It identifies others by
// their IDs on the roll. Visibility decides what the person may be told about them.
type Part struct {
	// Own says where the person's own car goes; "" if they have none.
	Own OwnCar
	// PickedUp is who takes them to the trailhead, Picks whom they take.
	PickedUp string
	Picks    []string
	// Ferried is who takes them from the end to the start before the walk, Ferries whom they
	// take.
	Ferried string
	Ferries []string
	// Back is whose car they ride back to the start in after the walk, possibly their own.
	// Takes is whom they take in theirs. NoSeat means that there is no seat for them.
	Back   string
	Takes  []string
	NoSeat bool
}

// OwnCar is where somebody's own car goes before the walk.
type OwnCar string

// The values of OwnCar.
const (
	StaysAtStart  OwnCar = "start"   // straight to the trailhead
	StandsAtEnd   OwnCar = "end"     // to the end, where it stays
	FerriesToHead OwnCar = "ferries" // to the end to pick up the drivers there, and on to the trailhead
)

// PartOf returns a person's part in the plan.
func (r Rides) PartOf(t Traveller) Part {
	var p Part
	if t.Drives() {
		p.Own = StaysAtStart
	}
	for _, x := range r.Stand {
		if x.Driver == t.ID {
			p.Own, p.Takes = StandsAtEnd, x.Riders
		}
		if x.Has(t.ID) {
			p.Back = x.Driver
		}
	}
	for _, x := range r.Ferry {
		if x.Driver == t.ID {
			p.Own, p.Ferries = FerriesToHead, x.Riders
		} else if x.Has(t.ID) {
			p.Ferried = x.Driver
		}
	}
	for _, x := range r.Pool {
		if x.Driver == t.ID {
			p.Picks = x.Riders
		} else if x.Has(t.ID) {
			p.PickedUp = x.Driver
		}
	}
	p.NoSeat = r.OneWay && p.Back == ""
	return p
}

// Shared reports whether the part involves anybody else, so that the person should be told.
func (p Part) Shared() bool {
	return p.NoSeat || cmp.Or(p.PickedUp, p.Ferried, p.Back) != "" || len(p.Picks)+len(p.Ferries) > 0
}

// EndLotOf returns where cars are parked at the end of a trail: in the leader's words, or else
// the goal there.
func (b Book) EndLotOf(t trail.Trail) string {
	if b.Shuttle.EndLot != "" {
		return b.Shuttle.EndLot
	}
	name := "the end of the trail"
	for _, p := range t.Points {
		// Our judgment: a goal in the last tenth of the trail is its end, because tracks differ
		// slightly.
		if p.Kind == trail.Goal && p.Along > t.Profile.Length*9/10 {
			name = p.Name
		}
	}
	return name
}

// ParkedCars is where the cars of a one-way hike are during the walk. Lots has them by
// PlateKey. Staff has the cars of the staff, which are not on the roll, one line each.
type ParkedCars struct {
	Lots  map[string]string
	Staff []string
}

// Parked returns where the cars are. It is empty for hikes that end where they start.
func Parked(h hike.Hike, t trail.Trail, places []signup.SignUp, b Book) ParkedCars {
	people := Travellers(h, places, b)
	r := PlanRides(t.Profile.Shape, people)
	if !r.OneWay {
		return ParkedCars{}
	}
	parked := ParkedCars{Lots: map[string]string{}}
	for _, p := range people {
		if !p.Drives() {
			continue
		}
		where := "planned to stand at the start"
		if r.PartOf(p).Own == StandsAtEnd {
			where = "planned to stand at the end: " + b.EndLotOf(t)
		}
		parked.Lots[party.PlateKey(p.Car.Plate)] = where
		if p.Staff {
			parked.Staff = append(parked.Staff, p.Car.String()+" ("+p.Name+"), "+where)
		}
	}
	return parked
}

// Where appends to a description of a car where the car is.
func (p ParkedCars) Where(plate, words string) string {
	if lot := p.Lots[party.PlateKey(plate)]; lot != "" {
		return words + ", " + lot
	}
	return words
}
