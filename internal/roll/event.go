package roll

import (
	"time"

	"saltbush/internal/unit"
)

// PersonID names one person on one roll: a UUID in lower-case text. A walk-up's is made
// on the device that records the joining.
type PersonID string

// EventID names one event: a UUID in lower-case text, made on the device, so that a
// record sent twice is known to be one.
type EventID string

// Kind says what an event records.
type Kind string

// The kinds of event. Their texts go over the wire and into the database: add, never
// rename.
const (
	KindHere       Kind = "here"        // Persons are at the trailhead.
	KindAbsent     Kind = "absent"      // Persons did not come.
	KindJoined     Kind = "joined"      // One person, Name: a walk-up, or one who rejoins on the trail.
	KindTurnedAway Kind = "turned-away" // Persons do not walk; Note is the reason.
	KindDeparted   Kind = "departed"    // Number left the trailhead; Persons are their names.
	KindCounted    Kind = "counted"     // Number is the leader's count, Sweep the sweep's.
	KindLeftEarly  Kind = "left-early"  // Persons left with Buddies at Place for To; Minutes is the walk.
	KindAtCar      Kind = "at-car"      // Persons who left early are safe.
	KindSplit      Kind = "split"       // Parties are all the parties from now on.
	KindRejoined   Kind = "rejoined"    // Parties are one again; each with its number on meeting.
	KindDelayed    Kind = "delayed"     // Minutes more than planned; Note is the reason.
	KindBack       Kind = "back"        // Persons are back at the trailhead, by name.
	KindHandedOver Kind = "handed-over" // Persons are in the care of responders, To says whose.
	KindReported   Kind = "reported"    // Note is a message; Trouble says that it asks for help.
	KindStoodDown  Kind = "stood-down"  // On-call ends the watch.
	KindUndone     Kind = "undone"      // Retracts an earlier event.

	KindWater    Kind = "water"       // Persons brought Litres each, seen, and give Gives of them away.
	KindStock    Kind = "stock"       // Litres are spare in the leader's car, the group reserve not counted.
	KindInCharge Kind = "in-charge"   // Buddies, one adult, answers for Persons, who are under age.
	KindMissing  Kind = "missing"     // Persons, or Number, are missed: a search begins.
	KindStep     Kind = "search-step" // Step of the search is done; Trouble says that it failed.
	KindFound    Kind = "found"       // Persons were found at Place; Note is how they are.
	KindTold     Kind = "told"        // To heard that they are found.
	KindUnwell   Kind = "unwell"      // Persons show Signs.
	KindThunder  Kind = "thunder"     // Thunder was heard.
	KindPlate    Kind = "plate-seen"  // Plates stand in the lot; Persons came in them, if anybody of ours.
	KindCarGone  Kind = "car-gone"    // Plates have left, or were never there.
)

// Kinds lists every kind: first the movements in the order of a hike, then the rest.
func Kinds() []Kind {
	return []Kind{
		KindHere, KindAbsent, KindJoined, KindTurnedAway, KindDeparted, KindCounted,
		KindLeftEarly, KindAtCar, KindSplit, KindRejoined, KindDelayed, KindBack,
		KindHandedOver, KindReported, KindStoodDown, KindUndone,
		KindWater, KindStock, KindInCharge, KindMissing, KindStep, KindFound, KindTold, KindUnwell, KindThunder,
		KindPlate, KindCarGone,
	}
}

// Event is one record. Which fields a kind needs is said beside the kind and held by
// Validate; a zero Number or Sweep means that nobody gave one.
type Event struct {
	ID   EventID `json:"id"`
	Kind Kind    `json:"kind"`
	// At is when the thing happened by the clock of the device, brought onto the server's
	// where the two differ.
	At time.Time `json:"at"`
	// DeviceAt is the time as the device wrote it, zero where At is that time.
	DeviceAt time.Time `json:"device_at,omitzero"`
	// Recorded is when the server received the event, zero until it has.
	Recorded time.Time `json:"recorded,omitzero"`
	// By is the name or account of who recorded.
	By      string     `json:"by"`
	Device  string     `json:"device,omitempty"`
	Name    string     `json:"name,omitempty"`
	Persons []PersonID `json:"persons,omitempty"`
	Buddies []PersonID `json:"buddies,omitempty"`
	Number  int        `json:"number,omitempty"`
	Sweep   int        `json:"sweep,omitempty"`
	// Party is the name of the party that a count is of, empty for everyone.
	Party   string `json:"party,omitempty"`
	Parties []Part `json:"parties,omitempty"`
	Place   string `json:"place,omitempty"`
	// Along is how far along the track the place lies, zero where not known.
	Along    unit.Length `json:"along_m,omitempty"`
	To       string      `json:"to,omitempty"`
	Minutes  int         `json:"minutes,omitempty"`
	Trouble  bool        `json:"trouble,omitempty"`
	Note     string      `json:"note,omitempty"`
	Retracts EventID     `json:"retracts,omitempty"`

	// Litres and Gives are water; no litres in a record of water means none at all.
	Litres unit.Volume `json:"litres,omitempty"`
	Gives  unit.Volume `json:"gives_litres,omitempty"`
	// Route is the way that a departure takes, and Against what stood against leaving.
	Route   Route    `json:"route,omitempty"`
	Against []string `json:"against,omitempty"`
	// Minor, Contact and Agreed are what a walk-up said: under age, whom to ring with the
	// number, and whether the risks were read out and accepted.
	Minor   bool   `json:"minor,omitempty"`
	Contact string `json:"contact,omitempty"`
	Agreed  bool   `json:"agreed,omitempty"`
	// SeenBy and SeenAt say who saw the missing last, and when.
	SeenBy  string    `json:"seen_by,omitempty"`
	SeenAt  time.Time `json:"seen_at,omitzero"`
	Factors []Factor  `json:"factors,omitempty"`
	Signs   []Sign    `json:"signs,omitempty"`
	Step    int       `json:"step,omitempty"`
	Plates  []string  `json:"plates,omitempty"`
}

// Route is one of the ways that a plan offers.
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
	// Meet is where the parties meet again and By the time agreed for it.
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
