package party

import (
	"time"

	"saltbush/internal/unit"
)

// PersonID identifies one person on one roll. It is a UUID in lower-case text. The device
// that records a walk-up makes that person's ID.
type PersonID string

// EventID identifies one event. It is a UUID in lower-case text, made on the device, so
// that the server recognizes a record that is sent twice.
type EventID string

// Kind says what an event records.
type Kind string

// The kinds of event. Their texts are sent over the wire and stored in the database: add
// new ones, never rename old ones.
const (
	KindHere       Kind = "here"        // Persons are at the trailhead.
	KindAbsent     Kind = "absent"      // Persons did not come.
	KindJoined     Kind = "joined"      // One person, Name: a walk-up, or somebody who rejoins on the trail.
	KindTurnedAway Kind = "turned-away" // Persons do not walk; Note is the reason.
	KindDeparted   Kind = "departed"    // Number left the trailhead; Persons are their names.
	KindCounted    Kind = "counted"     // Number is the leader's count, Sweep the sweep's.
	KindLeftEarly  Kind = "left-early"  // Persons left with Buddies at Place for To; Minutes is the walk.
	KindAtCar      Kind = "at-car"      // Persons who left early are safe.
	KindSplit      Kind = "split"       // Parties are all the parties from now on.
	KindRejoined   Kind = "rejoined"    // Parties are one again; each has its number on meeting.
	KindDelayed    Kind = "delayed"     // Minutes more than planned; Note is the reason.
	KindBack       Kind = "back"        // Persons are back at the trailhead, by name.
	KindHandedOver Kind = "handed-over" // Persons are in the care of the responders in To.
	KindReported   Kind = "reported"    // Note is a message; Trouble means that it asks for help.
	KindStoodDown  Kind = "stood-down"  // On-call ends the watch.
	KindUndone     Kind = "undone"      // Retracts an earlier event.

	KindWater    Kind = "water"       // Persons have Litres each, as seen, and can give away Gives.
	KindStock    Kind = "stock"       // Litres are spare in the leader's car, without the group reserve.
	KindInCharge Kind = "in-charge"   // Buddies, one adult, is responsible for Persons, who are minors.
	KindMissing  Kind = "missing"     // Persons, or Number of them, are missing: a search begins.
	KindStep     Kind = "search-step" // Step of the search is done; Trouble means that it failed.
	KindNamed    Kind = "named"       // Persons are who was missing without a name.
	KindFound    Kind = "found"       // Persons, or Number of them, were found at Place; Note is how they are.
	KindTold     Kind = "told"        // To was told that they are found.
	KindUnwell   Kind = "unwell"      // Persons show Signs.
	KindNoted    Kind = "noted"       // Note is for rescuers, about To, one of Topics.
	KindThunder  Kind = "thunder"     // Thunder was heard.
	KindPlate    Kind = "plate-seen"  // Cars with Plates are in the lot; Persons, if any, came in them.
	KindCarGone  Kind = "car-gone"    // Cars with Plates have left, or were never there.
	KindCarStays Kind = "car-stays"   // Cars with Plates stay in the lot; Note is why.
)

// Kinds lists every kind: first those that move people, in the order of a hike, then the
// rest.
func Kinds() []Kind {
	return []Kind{
		KindHere, KindAbsent, KindJoined, KindTurnedAway, KindDeparted, KindCounted,
		KindLeftEarly, KindAtCar, KindSplit, KindRejoined, KindDelayed, KindBack,
		KindHandedOver, KindReported, KindStoodDown, KindUndone,
		KindWater, KindStock, KindInCharge, KindMissing, KindNamed, KindStep, KindFound, KindTold, KindUnwell,
		KindNoted, KindThunder,
		KindPlate, KindCarGone, KindCarStays,
	}
}

// Event is one record. The comment on each kind says which fields it uses, and package roll
// validates them. A zero Number or Sweep means that none was given.
type Event struct {
	ID   EventID `json:"id"`
	Kind Kind    `json:"kind"`
	// At is when it happened, by the device's clock; if that clock is off, it is corrected
	// to the server's.
	At time.Time `json:"at"`
	// DeviceAt is the time as the device wrote it, zero if At was not corrected.
	DeviceAt time.Time `json:"device_at,omitzero"`
	// Recorded is when the server received the event, zero until it has.
	Recorded time.Time `json:"recorded,omitzero"`
	// By is the name of whoever recorded it.
	By      string     `json:"by"`
	Device  string     `json:"device,omitempty"`
	Name    string     `json:"name,omitempty"`
	Persons []PersonID `json:"persons,omitempty"`
	Buddies []PersonID `json:"buddies,omitempty"`
	Number  int        `json:"number,omitempty"`
	Sweep   int        `json:"sweep,omitempty"`
	// Party is the name of the party that was counted, empty for everyone.
	Party   string `json:"party,omitempty"`
	Parties []Part `json:"parties,omitempty"`
	Place   string `json:"place,omitempty"`
	// Along is the distance of the place along the track, zero if not known.
	Along    unit.Length `json:"along_m,omitempty"`
	To       string      `json:"to,omitempty"`
	Minutes  int         `json:"minutes,omitempty"`
	Trouble  bool        `json:"trouble,omitempty"`
	Note     string      `json:"note,omitempty"`
	Retracts EventID     `json:"retracts,omitempty"`

	// Litres and Gives are water. Zero litres in a water record means that there is none.
	Litres unit.Volume `json:"litres,omitempty"`
	Gives  unit.Volume `json:"gives_litres,omitempty"`
	// Route is the route a departure takes; Against lists the rules it broke.
	Route   Route    `json:"route,omitempty"`
	Against []string `json:"against,omitempty"`
	// Minor, Contact and Agreed are a walk-up's answers: under age, whom to call and at what
	// number, and whether they accepted the risks that were read out.
	Minor   bool   `json:"minor,omitempty"`
	Contact string `json:"contact,omitempty"`
	Agreed  bool   `json:"agreed,omitempty"`
	// SeenBy and SeenAt say who last saw the missing people, and when.
	SeenBy  string    `json:"seen_by,omitempty"`
	SeenAt  time.Time `json:"seen_at,omitzero"`
	Factors []Factor  `json:"factors,omitempty"`
	Signs   []Sign    `json:"signs,omitempty"`
	Step    int       `json:"step,omitempty"`
	Plates  []string  `json:"plates,omitempty"`
}

// Route is one of the routes that a plan offers.
type Route string

// The routes.
const (
	RouteFull  Route = "full"
	RouteShort Route = "short"
)

// Part is one party of a split, or one party as it was counted on meeting again.
type Part struct {
	Name    string     `json:"name"`
	Staff   []PersonID `json:"staff,omitempty"`
	Persons []PersonID `json:"persons,omitempty"`
	Number  int        `json:"number,omitempty"`
	// Meet is where the parties meet again; By is the agreed time.
	Meet string    `json:"meet,omitempty"`
	By   time.Time `json:"by,omitzero"`
}

// everyone lists the staff and the walkers of a part, each once.
func (p Part) everyone() []PersonID { return union(p.Staff, p.Persons) }

// Take adds a person to the part, as staff or as a walker.
func (p *Part) Take(x Person) {
	if x.Staff {
		p.Staff = append(p.Staff, x.ID)
	} else {
		p.Persons = append(p.Persons, x.ID)
	}
}

// Our judgment: a batch takes seconds to arrive and networks set phones to within seconds,
// so a smaller difference than this is not a wrong clock.
const clockSlack = 2 * time.Minute

// ClockOffset returns the duration to add to a device's times to bring them onto the
// server's clock: the time of receipt minus the time at which the device says it sent. It
// returns zero if the two differ by two minutes or less, or if the device did not say.
func ClockOffset(sentAt, received time.Time) time.Duration {
	if sentAt.IsZero() {
		return 0
	}
	if off := received.Sub(sentAt); off.Abs() > clockSlack {
		return off
	}
	return 0
}

// Corrected returns the event with its time moved by the offset of the device's clock and
// the raw time in DeviceAt. One offset fits all events of a device however long they
// waited, because a wrong clock runs as fast as a right one. A time outside the years 1970
// to 2200 is left alone; validation rejects it.
func (e Event) Corrected(offset time.Duration) Event {
	e.DeviceAt = time.Time{}
	if y := e.At.Year(); offset == 0 || y < 1970 || y > 2200 {
		return e
	}
	e.DeviceAt, e.At = e.At, e.At.Add(offset)
	return e
}

// Newest returns the latest event that is neither undone nor an undo itself: the one that
// an "undo" button takes back.
func Newest(events []Event) (Event, bool) {
	undone := map[EventID]bool{}
	for _, e := range events {
		if e.Kind == KindUndone {
			undone[e.Retracts] = true
		}
	}
	var newest Event
	for _, e := range events {
		if e.Kind != KindUndone && !undone[e.ID] && !e.At.Before(newest.At) {
			newest = e
		}
	}
	return newest, newest.ID != ""
}
