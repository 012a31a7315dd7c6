package sample

import (
	"saltbush/internal/party"
	"time"

	"saltbush/internal/plan"
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
	party    []party.PersonID
}

func (s *season) book(o *outing, departed time.Time, took time.Duration) *book {
	return &book{dice: s.dice, o: o, trail: s.trails[o.trail], departed: departed, took: took}
}

// write adds an event from the leader's phone, unless the event says who wrote it.
func (b *book) write(at time.Time, e party.Event) {
	e.ID, e.At = party.EventID(b.id()), at.Truncate(time.Second)
	if e.By == "" {
		e.By, e.Device = b.o.hike.Staff[0].Name, "leader's phone"
	}
	b.o.events = append(b.o.events, e)
	if e.At.After(b.o.received) {
		b.o.received = e.At
	}
}

func (b *book) bySweep(at time.Time, e party.Event) {
	e.By, e.Device = b.o.hike.Staff[1].Name, "sweep's phone"
	b.write(at, e)
}

// everyone returns the staff, then the participants.
func (b *book) everyone() []party.PersonID {
	var list []party.PersonID
	for _, m := range b.o.hike.Staff {
		list = append(list, party.PersonID(m.Person))
	}
	for _, p := range b.o.confirmed() {
		list = append(list, party.PersonID(p.ID))
	}
	return list
}

// gather marks everybody at the trailhead except for the absent, who are the last ones.
func (b *book) gather(absent int) {
	all := b.everyone()
	here, missing := all[:len(all)-absent], all[len(all)-absent:]
	half := len(here) / 2
	meet := b.o.hike.Meet
	b.write(meet.Add(b.minutes(1, 8)), party.Event{Kind: party.KindHere, Persons: here[:half]})
	b.write(meet.Add(b.minutes(9, 20)), party.Event{Kind: party.KindHere, Persons: here[half:]})
	if absent > 0 {
		b.write(b.departed.Add(-3*time.Minute),
			party.Event{Kind: party.KindAbsent, Persons: missing, Note: "No answer on the phone."})
	}
	b.party = append(b.party, here...)
	b.water(here)
}

// water records before the departure that everybody has the planned water.
func (b *book) water(here []party.PersonID) {
	if b.o.plan != nil {
		b.write(b.departed.Add(-8*time.Minute),
			party.Event{Kind: party.KindWater, Persons: here, Litres: b.o.plan.Plan.Water.Carry})
		b.write(b.departed.Add(-7*time.Minute), party.Event{Kind: party.KindStock, Litres: 6})
	}
}

// walkUp adds a person without a sign-up.
func (b *book) walkUp(name string) {
	id := party.PersonID(b.id())
	b.write(b.departed.Add(-6*time.Minute), party.Event{
		Kind: party.KindJoined, Persons: []party.PersonID{id}, Name: name,
		Contact: "Marlo Tiller, 555 010 0177", Agreed: true,
		Note: "Asked at the trailhead; talked through, 4 L with them.",
	})
	b.party = append(b.party, id)
}

func (b *book) depart() {
	b.write(b.departed,
		party.Event{Kind: party.KindDeparted, Number: len(b.party), Persons: b.party, Place: b.trail.Points[0].Name})
}

// reach returns when the party passes a place, at an even pace.
func (b *book) reach(along unit.Length) time.Time {
	return b.departed.Add(time.Duration(float64(b.took) * float64(along/b.trail.Profile.Length)))
}

// count writes one count of leader and sweep at a point.
func (b *book) count(p trail.Point) {
	at := b.reach(p.Along).Add(b.minutes(1, 3))
	b.write(at,
		party.Event{Kind: party.KindCounted, Number: len(b.party), Sweep: len(b.party), Place: p.Name, Along: p.Along})
}

// countTwice writes the counts of leader and sweep from two phones, as happens without signal.
func (b *book) countTwice(p trail.Point) {
	at := b.reach(p.Along)
	b.write(at, party.Event{Kind: party.KindCounted, Number: len(b.party), Place: p.Name, Along: p.Along})
	b.bySweep(at.Add(b.minutes(3, 7)),
		party.Event{Kind: party.KindCounted, Sweep: len(b.party), Place: p.Name, Along: p.Along})
}

// onTheWay returns the points after the trailhead, in order.
func (b *book) onTheWay() []trail.Point {
	var list []trail.Point
	for _, p := range b.trail.Points {
		if p.Kind != trail.Trailhead {
			list = append(list, p)
		}
	}
	return list
}

// leaveEarly writes that the last of the party goes back from a point with a buddy.
func (b *book) leaveEarly(p trail.Point) {
	n := len(b.party)
	tired, buddy := b.party[n-1], b.party[n-2]
	at := b.reach(p.Along).Add(4 * time.Minute)
	b.write(at, party.Event{
		Kind: party.KindLeftEarly, Persons: []party.PersonID{tired}, Buddies: []party.PersonID{buddy},
		Place: p.Name, Along: p.Along, To: "own car", Minutes: 50,
		Note: "Slept badly; walks and talks well. Both have a phone and 1 L each.",
	})
	b.write(at.Add(b.minutes(38, 55)),
		party.Event{Kind: party.KindAtCar, Persons: []party.PersonID{tired, buddy}, Note: "Text from the lot."})
	b.party = b.party[:n-2]
}

// back writes that everybody is back by name, in two batches, and stands the watch down.
func (b *book) back() {
	at := b.departed.Add(b.took)
	half := len(b.party) / 2
	b.write(at, party.Event{Kind: party.KindBack, Persons: b.party[:half]})
	b.bySweep(at.Add(b.minutes(2, 9)), party.Event{Kind: party.KindBack, Persons: b.party[half:]})
	if plates := b.plates(); len(plates) > 0 {
		b.write(at.Add(b.minutes(10, 13)), party.Event{Kind: party.KindCarGone, Plates: plates})
	}
	down := party.Event{Kind: party.KindStoodDown, By: b.o.hike.OnCall.Name,
		Note: "Every name confirmed with the leader by phone."}
	b.write(at.Add(b.minutes(14, 35)), down)
	b.o.closes = true
}

// plates returns the plates of the participants' cars.
func (b *book) plates() []string {
	var plates []string
	for _, p := range b.o.confirmed() {
		if p.Car.Known() {
			plates = append(plates, p.Car.Plate)
		}
	}
	return plates
}

// drawDuration draws how long the walk takes.
// Our judgment: a spread of 0.11 around the plan, for a club that knows its trails.
func (b *book) drawDuration(p plan.Plan) {
	b.took = time.Duration(float64(p.Time.P50.Duration()) * 1.02 * b.around(0.11)).Round(time.Minute)
}
