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

// Shuttle is what a leader settles about the cars of a one-way hike.
type Shuttle struct {
	EndLot string        // where cars stand at the end, in words
	Drive  time.Duration // from there to the start, as the leader knows the road; zero for not known
	By     string
	At     time.Time
}

// Validate returns an Invalid naming each fault.
func (s Shuttle) Validate() error {
	v := fault.Invalid{}
	v.Require("end_lot", s.EndLot, 120, "Say where the cars stand at the end.")
	// House judgement: farther than four hours apart nobody sets a shuttle for a day hike.
	if s.Drive < time.Minute || s.Drive > 4*time.Hour {
		v.Add("drive_minutes", "Give the minutes from the end to the start by road, 1 to 240.")
	}
	return v.Err()
}

// House judgement: time to park at the end, lock up, and put the packs into the other car.
const parking = 10 * time.Minute

// ShuttleTimes are when who leaves a car at the end is there, and when they drive on to be
// at the start at the time to meet. They are zero while the drive is not known.
func (s Shuttle) ShuttleTimes(h hike.Hike) (atEnd, leave time.Time) {
	if s.Drive == 0 {
		return time.Time{}, time.Time{}
	}
	leave = h.Meet.Add(-s.Drive)
	return leave.Add(-parking), leave
}

// RideTold is a person's part as it was last told to them, and how often they were told.
type RideTold struct {
	Part  string
	Times int
}

// Book is what is kept about the cars of a hike beside its sign-ups. People are named
// by their IDs on the roll.
type Book struct {
	Shuttle Shuttle
	Sharing map[string]Sharing
	Cars    map[string]signup.Car // of staff
	Told    map[string]RideTold
	// Opened is when the plan of the cars was first told; until then nobody is told anything.
	Opened time.Time
}

// Store keeps ride books.
type Store interface {
	// RideBook loads the book of a hike; an empty one where nothing is kept.
	RideBook(ctx context.Context, id ref.Hike) (Book, error)
	// ChangeRides applies change with the hike locked and saves the book. An error of change
	// is returned as it is and nothing is saved.
	ChangeRides(ctx context.Context, id ref.Hike, change func(hike.Hike, []signup.SignUp, *Book) error) error
}

// Travellers are those who come: staff, and whoever has a place.
func Travellers(h hike.Hike, places []signup.SignUp, b Book) []Traveller {
	var list []Traveller
	for _, m := range h.Staff {
		list = append(list, Traveller{ID: m.Person, Name: m.Name, Staff: true, Car: b.Cars[m.Person], Sharing: b.Sharing[m.Person]})
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

// adultID finds who answers for a minor among those who come.
func adultID(p signup.SignUp, h hike.Hike, places []signup.SignUp) string {
	adult, _ := p.AdultAmong(signup.Adults(signup.Walking(places), h.Staff))
	return string(adult.ID)
}

// Part is what one person does with cars, in the order of the day. It names others by their
// IDs; whether they may be told apart is for RideSight to say.
type Part struct {
	// Own says where the person's own car goes, "" for none.
	Own OwnCar
	// PickedUp is who brings them to the trailhead, Picks whom they bring.
	PickedUp string
	Picks    []string
	// Ferried is who brings them from the end to the start before the walk, Ferries whom
	// they bring.
	Ferried string
	Ferries []string
	// Back is whose car they ride back to the start in after the walk, their own too, and
	// Takes is whom they take. NoSeat says that there is none.
	Back   string
	Takes  []string
	NoSeat bool
}

// OwnCar is where somebody's own car goes before the walk.
type OwnCar string

// Where a car goes.
const (
	StaysAtStart  OwnCar = "start"   // straight to the trailhead
	StandsAtEnd   OwnCar = "end"     // to the end, where it stands
	FerriesToHead OwnCar = "ferries" // by the end, for its drivers, to the trailhead
)

// PartOf is a person's part in the plan.
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

// Shared reports whether the part has to do with anybody else: it is worth telling.
func (p Part) Shared() bool {
	return p.NoSeat || cmp.Or(p.PickedUp, p.Ferried, p.Back) != "" || len(p.Picks)+len(p.Ferries) > 0
}

// EndLotOf is where cars stand at the end of a trail: in the leader's words, else the goal
// at the end of the way.
func (b Book) EndLotOf(t trail.Trail) string {
	if b.Shuttle.EndLot != "" {
		return b.Shuttle.EndLot
	}
	name := "the end of the trail"
	for _, p := range t.Points {
		// House judgement: the last tenth of the way is its end; tracks differ by some steps.
		if p.Kind == trail.Goal && p.Along > t.Profile.Length*9/10 {
			name = p.Name
		}
	}
	return name
}

// ParkedCars is where the cars of a one-way hike stand during the walk: Lots by the key of
// the plate, and Staff those of the staff, which the roll does not know, in whole lines.
type ParkedCars struct {
	Lots  map[string]string
	Staff []string
}

// Parked says where cars stand. It is empty for hikes that end where they begin.
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

// Where adds to the words about a car where it stands.
func (p ParkedCars) Where(plate, words string) string {
	if lot := p.Lots[party.PlateKey(plate)]; lot != "" {
		return words + ", " + lot
	}
	return words
}
