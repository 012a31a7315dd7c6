package sample

import (
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// book writes the roll of one outing.
type book struct {
	*dice
	o        *outing
	trail    trail.Trail
	departed time.Time
	took     time.Duration // from the departure to the return
	with     []roll.PersonID
}

func (s *season) book(o *outing, departed time.Time, took time.Duration) *book {
	return &book{dice: s.dice, o: o, trail: s.trails[o.trail], departed: departed, took: took}
}

// write adds an event of the leader's phone.
func (b *book) write(at time.Time, e roll.Event) {
	e.ID, e.At = roll.EventID(b.id()), at.Truncate(time.Second)
	if e.By == "" {
		e.By, e.Device = b.o.hike.Staff[0].Name, "leader's phone"
	}
	b.o.events = append(b.o.events, e)
	if e.At.After(b.o.heard) {
		b.o.heard = e.At
	}
}

func (b *book) bySweep(at time.Time, e roll.Event) {
	e.By, e.Device = b.o.hike.Staff[1].Name, "sweep's phone"
	b.write(at, e)
}

// everyone lists the staff and then those with a place.
func (b *book) everyone() []roll.PersonID {
	var list []roll.PersonID
	for _, m := range b.o.hike.Staff {
		list = append(list, roll.PersonID(m.Person))
	}
	for _, p := range b.o.confirmed() {
		list = append(list, roll.PersonID(p.ID))
	}
	return list
}

// gather marks people at the trailhead, all but those who do not come.
func (b *book) gather(absent int) {
	all := b.everyone()
	here, missing := all[:len(all)-absent], all[len(all)-absent:]
	half := len(here) / 2
	meet := b.o.hike.Meet
	b.write(meet.Add(b.minutes(1, 8)), roll.Event{Kind: roll.KindHere, Persons: here[:half]})
	b.write(meet.Add(b.minutes(9, 20)), roll.Event{Kind: roll.KindHere, Persons: here[half:]})
	if absent > 0 {
		b.write(b.departed.Add(-3*time.Minute), roll.Event{Kind: roll.KindAbsent, Persons: missing, Note: "No answer on the phone."})
	}
	b.with = append(b.with, here...)
	b.water(here)
}

// water is looked at before they leave: all have what the plan asks for.
func (b *book) water(here []roll.PersonID) {
	if b.o.plan != nil {
		b.write(b.departed.Add(-8*time.Minute), roll.Event{Kind: roll.KindWater, Persons: here, Litres: b.o.plan.Plan.Water.Carry})
		b.write(b.departed.Add(-7*time.Minute), roll.Event{Kind: roll.KindStock, Litres: 6})
	}
}

// joins writes in somebody who comes without a sign-up.
func (b *book) joins(name string) {
	id := roll.PersonID(b.id())
	b.write(b.departed.Add(-6*time.Minute), roll.Event{Kind: roll.KindJoined, Persons: []roll.PersonID{id}, Name: name,
		Contact: "Marlo Tiller, 555 010 0177", Agreed: true, Note: "Asked at the trailhead; talked through, 4 L with them."})
	b.with = append(b.with, id)
}

func (b *book) depart() {
	b.write(b.departed, roll.Event{Kind: roll.KindDeparted, Number: len(b.with), Persons: b.with, Place: b.trail.Points[0].Name})
}

// reach is when the party comes by a place, at an even share of its time.
func (b *book) reach(along unit.Length) time.Time {
	return b.departed.Add(time.Duration(float64(b.took) * float64(along/b.trail.Profile.Length)))
}

// count writes down that leader and sweep count the same number at a point.
func (b *book) count(p trail.Point) {
	at := b.reach(p.Along).Add(b.minutes(1, 3))
	b.write(at, roll.Event{Kind: roll.KindCounted, Number: len(b.with), Sweep: len(b.with), Place: p.Name, Along: p.Along})
}

// countApart writes the two numbers from two phones, as it happens out of signal.
func (b *book) countApart(p trail.Point) {
	at := b.reach(p.Along)
	b.write(at, roll.Event{Kind: roll.KindCounted, Number: len(b.with), Place: p.Name, Along: p.Along})
	b.bySweep(at.Add(b.minutes(3, 7)), roll.Event{Kind: roll.KindCounted, Sweep: len(b.with), Place: p.Name, Along: p.Along})
}

// onTheWay are the points past the trailhead, in the order of the way.
func (b *book) onTheWay() []trail.Point {
	var list []trail.Point
	for _, p := range b.trail.Points {
		if p.Kind != trail.Trailhead {
			list = append(list, p)
		}
	}
	return list
}

// leaveEarly lets the last of the party go back with a buddy from a point.
func (b *book) leaveEarly(p trail.Point) {
	n := len(b.with)
	tired, buddy := b.with[n-1], b.with[n-2]
	at := b.reach(p.Along).Add(4 * time.Minute)
	b.write(at, roll.Event{Kind: roll.KindLeftEarly, Persons: []roll.PersonID{tired}, Buddies: []roll.PersonID{buddy},
		Place: p.Name, Along: p.Along, To: "own car", Minutes: 50, Note: "Slept badly; walks and talks well. Both have a phone and 1 L each."})
	b.write(at.Add(b.minutes(38, 55)), roll.Event{Kind: roll.KindAtCar, Persons: []roll.PersonID{tired, buddy}, Note: "Text from the lot."})
	b.with = b.with[:n-2]
}

// back writes everyone in by name, in two batches, and ends the watch.
func (b *book) back() {
	at := b.departed.Add(b.took)
	half := len(b.with) / 2
	b.write(at, roll.Event{Kind: roll.KindBack, Persons: b.with[:half]})
	b.bySweep(at.Add(b.minutes(2, 9)), roll.Event{Kind: roll.KindBack, Persons: b.with[half:]})
	if plates := b.plates(); len(plates) > 0 {
		b.write(at.Add(b.minutes(10, 13)), roll.Event{Kind: roll.KindCarGone, Plates: plates})
	}
	down := roll.Event{Kind: roll.KindStoodDown, By: b.o.hike.OnCall.Name, Note: "Every name confirmed with the leader by phone."}
	b.write(at.Add(b.minutes(14, 35)), down)
	b.o.closes = true
}

// plates are the cars of those who have a place.
func (b *book) plates() []string {
	var plates []string
	for _, p := range b.o.confirmed() {
		if p.Car.Known() {
			plates = append(plates, p.Car.Plate)
		}
	}
	return plates
}

// lasts draws how long the walk really takes.
// House judgement: a spread of 0.11 about the plan, for a club that knows its trails.
func (b *book) lasts(p plan.Plan) {
	b.took = time.Duration(float64(p.Time.P50.Duration()) * 1.02 * b.around(0.11)).Round(time.Minute)
}
