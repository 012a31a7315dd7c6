package notify

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ride"
)

// Cars is what the pages and mails about the rides of one hike need.
type Cars struct {
	hike.Data
	Book   ride.Book
	People []ride.Traveller
	By     map[string]ride.Traveller // People by ID
	Phones map[string]string         // by ID
	Rides  ride.Rides
}

// NewCars plans the rides of a hike from its sign-ups and its book.
func NewCars(t hike.Data, book ride.Book) Cars {
	c := Cars{
		Data:   t,
		Book:   book,
		People: ride.Travellers(t.Hike, t.SignUps, book),
		By:     map[string]ride.Traveller{},
		Phones: map[string]string{},
	}
	c.Rides = ride.PlanRides(t.Trail.Profile.Shape, c.People)
	for _, p := range c.People {
		c.By[p.ID] = p
	}
	for _, m := range t.Hike.Staff {
		c.Phones[m.Person] = m.Phone
	}
	for _, p := range t.SignUps {
		c.Phones[p.ID] = p.Mobile
	}
	return c
}

// EndLot is where the cars at the end of the trail are parked.
func (c Cars) EndLot() string { return c.Book.EndLotOf(c.Trail) }

// nameFor is the first name of other where me may know it, else "": both agreed to share
// names, or one is the adult who answers for the other.
func (c Cars) nameFor(me, other ride.Traveller) string {
	mine := other.Minor && other.Adult == me.ID || me.Minor && me.Adult == other.ID
	if mine || ride.Visibility(me, other).CanSee(privacy.KindRide) {
		return other.FirstName()
	}
	return ""
}

// others names the people whom me may know, and counts the rest.
func (c Cars) others(me ride.Traveller, ids []string, named bool) string {
	var names []string
	more := 0
	for _, id := range ids {
		if name := c.nameFor(me, c.By[id]); named && name != "" {
			names = append(names, name)
		} else {
			more++
		}
	}
	if more > 0 && len(names) > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	} else if more > 0 {
		return format.Count(more, "person", "people")
	}
	return format.Names(names)
}

// carOf names the driver where me may know the name, else says who will point the car out.
func (c Cars) carOf(me ride.Traveller, driver, pointedOut string, named bool) string {
	if name := c.nameFor(me, c.By[driver]); named && name != "" {
		return "with " + name
	}
	return "in a car that " + pointedOut
}

// PartLines lists a person's part in the rides, in the order of the day. Without names it
// may go into a mail.
func (c Cars) PartLines(me ride.Traveller, named bool) []format.Line {
	p := c.Rides.PartOf(me)
	lines := c.outwardLines(me, p, named)
	if len(p.Picks) > 0 {
		lines = append(lines, format.Line{
			Label: "On your way",
			Value: "Bring " + c.others(me, p.Picks, named) + " along",
			Note:  "Agree where and when with them.",
		})
	}
	return append(lines, c.backLines(me, p, named)...)
}

// beforeWalk labels what has no clock time yet.
const beforeWalk = "Before the walk"

// outwardLines say how somebody comes to the start.
func (c Cars) outwardLines(me ride.Traveller, p ride.Part, named bool) []format.Line {
	meet := format.Clock(c.Hike.Meet, c.Zone())
	switch {
	case me.Minor && me.Adult != "":
		return []format.Line{{
			Label: beforeWalk,
			Value: "Come with the adult who answers for you",
			Note:  "You sit in one car with them on every way.",
		}}
	case p.Own == ride.StandsAtEnd:
		return c.shuttleLines(
			format.Line{
				Value: "Bring your car to " + c.EndLot(),
				Note:  "It stands there until you come back to it on foot. Lock it, and keep your key on you.",
			},
			format.Line{
				Value: "Ride from there to the start " + c.carOf(me, p.Ferried, "the leader names there", named),
				Note:  "Be there by " + meet + ".",
			})
	case p.Own == ride.FerriesToHead:
		return c.shuttleLines(
			format.Line{
				Value: "Be at " + c.EndLot() + " with your car",
				Note:  "Those who leave theirs there ride on with you.",
			},
			format.Line{
				Value: "Bring " + c.others(me, p.Ferries, named) + " to the start",
				Note:  "Be there by " + meet + "; your car stays there.",
			})
	case p.Own == ride.StaysAtStart:
		return []format.Line{{Label: meet, Value: "Come to the meeting place with your car"}}
	case p.PickedUp != "":
		return []format.Line{{
			Label: beforeWalk,
			Value: "Ride to the meeting place " + c.carOf(me, p.PickedUp, "the leader names", named),
			Note:  "Agree where and when with them; be there by " + meet + ".",
		}}
	}
	return []format.Line{{Label: meet, Value: "Come to the meeting place in your own way"}}
}

// shuttleLines label the two legs of a shuttle with their clock times, where these are known.
func (c Cars) shuttleLines(first, second format.Line) []format.Line {
	end, leave := c.Book.Shuttle.ShuttleTimes(c.Hike)
	label := func(at time.Time) string {
		if end.IsZero() {
			return beforeWalk
		}
		return format.Clock(at, c.Zone())
	}
	first.Label, second.Label = label(end), label(leave)
	return []format.Line{first, second}
}

// backLines say how somebody comes back from the end to the start of a one-way trail.
func (c Cars) backLines(me ride.Traveller, p ride.Part, named bool) []format.Line {
	if !c.Rides.OneWay {
		return nil
	}
	after := format.Line{Label: "After the walk", Note: "Nobody leaves before the count."}
	switch {
	case p.Back == me.ID && len(p.Takes) > 0:
		after.Value = "Take " + c.others(me, p.Takes, named) + " to the start in your car"
	case p.Back == me.ID:
		after.Value = "Your car is there"
	case p.Back != "":
		after.Value = "Ride back to the start " + c.carOf(me, p.Back, "the leader names there", named)
	default:
		after.Value = "There is no seat back to the start for you yet"
		after.Note = "The leader looks for one. If you can bring a car, or somebody can fetch you at the end, say so."
	}
	return []format.Line{after}
}
