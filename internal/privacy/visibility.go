package privacy

import "slices"

// Kind is a kind of data about people who sign up.
type Kind string

// The kinds of data, the rows of the table.
const (
	KindName      Kind = "name"               // name, whereabouts, counts, and the water they bring
	KindContact   Kind = "contacts"           // of the person, the emergency contact and the guardian
	KindAction    Kind = "action line"        // what the leader should do for the person that day
	KindCard      Kind = "medical card"       // everything else about health
	KindPlate     Kind = "plates"             // of the cars they come in
	KindScreening Kind = "screening notes"    // their recent walks, and the talk about them
	KindIncident  Kind = "incident narrative" // what happened, and to whom
	KindRide      Kind = "shared ride"        // first name, number and town, for those in the same car
)

// Capacity is the role in which somebody looks at a hike.
type Capacity string

// The capacities, the columns of the table. One person may have several.
const (
	AsPublic      Capacity = "public"            // anybody, other participants too
	AsPerson      Capacity = "person"            // the person the data is about, by their private link
	AsRider       Capacity = "rider"             // shares a car with them, and both agreed
	AsSweep       Capacity = "sweep"             // sweep, assistants, and whoever has the link for the day
	AsLeader      Capacity = "leader"            // of this hike
	AsOtherLeader Capacity = "other leader"      // leads or is on call for other hikes, and reads the board
	AsOnCall      Capacity = "on-call"           // on-call, the deputy, and whoever took the alarm
	AsCoordinator Capacity = "coordinator"       // runs the program
	AsSafety      Capacity = "safety officer"    // investigates incidents
	AsTrainer     Capacity = "trainer"           // sees only the records of staff
	AsLandManager Capacity = "land manager"      // gets the numbers
	AsResponder   Capacity = "search and rescue" // gets the handover
)

// Disclosure is one cell of the table.
type Disclosure string

// The disclosures. Never is the zero value, so whatever the table leaves out is not shown.
const (
	Never         Disclosure = ""
	Always        Disclosure = "yes"
	ThatDay       Disclosure = "on the day"
	WhileWatched  Disclosure = "from departure to stood down"
	OnAlarm       Disclosure = "on alarm"
	OnOpening     Disclosure = "on opening, logged"
	OnAlarmOpened Disclosure = "on opening in an alarm, logged"
	OnIncident    Disclosure = "on opening after an incident, logged"
	NumbersOnly   Disclosure = "numbers only"
	Redacted      Disclosure = "without names"
	OwnPart       Disclosure = "own part"
)

// Disclosed returns the table's cell for a kind of data and a capacity. The table follows trade
// practice, section 6. Our judgment where that says nothing, or less: leaders of other hikes see
// names on the board while a hike is watched, and nothing more until they take the alarm. The
// leader of a hike sees names from the first request, because the leader has the talks before
// it. People in one car tell each other what they need to meet, as long as both agree; whoever
// plans the cars sees the towns.
func Disclosed(k Kind, s Capacity) Disclosure { return disclosures()[k][s] }

func disclosures() map[Kind]map[Capacity]Disclosure {
	return map[Kind]map[Capacity]Disclosure{
		KindName: {
			AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: Always, AsOtherLeader: WhileWatched, AsOnCall: WhileWatched,
			AsCoordinator: Always, AsSafety: Always, AsLandManager: NumbersOnly, AsResponder: OnAlarm,
		},
		KindContact: {
			AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: WhileWatched, AsCoordinator: Always,
			AsSafety: Always, AsResponder: OnAlarm,
		},
		KindAction: {
			AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: OnAlarm, AsSafety: Always,
			AsResponder: OnAlarm,
		},
		KindCard: {
			AsPerson: OwnPart, AsLeader: OnOpening, AsOnCall: OnAlarmOpened, AsSafety: OnIncident,
			AsResponder: OnAlarmOpened,
		},
		KindPlate: {
			AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: WhileWatched, AsCoordinator: Always,
			AsSafety: Always, AsLandManager: OnAlarm, AsResponder: OnAlarm,
		},
		KindScreening: {AsPerson: OwnPart, AsLeader: Always, AsCoordinator: Always, AsSafety: Always},
		KindIncident: {
			AsPerson: OwnPart, AsSweep: OwnPart, AsLeader: OwnPart, AsCoordinator: Redacted, AsSafety: Always,
			AsLandManager: Redacted,
		},
		KindRide: {AsPerson: OwnPart, AsRider: Always, AsSweep: ThatDay, AsLeader: Always, AsCoordinator: Always},
	}
}

// Window says which of the times that the table knows it is for one hike. Several may hold.
type Window struct {
	Ahead   bool // the hike has not started: there are still people to phone
	Day     bool // the day of the hike: from the evening before until it is settled
	Watched bool // it has left, or should have, and on-call has not stood down
	Alarm   bool // the watch time has passed, or somebody asked for help
}

// Opens reports whether data with this disclosure is shown in the window. Data that somebody has
// to open, with a reason that is logged, is never shown by itself.
func (w Window) Opens(d Disclosure) bool {
	switch d {
	case Always:
		return true
	case ThatDay:
		return w.Day
	case WhileWatched:
		return w.Watched || w.Alarm
	case OnAlarm:
		return w.Alarm
	}
	return false
}

// Visibility is what one viewer may see of the people on one hike.
type Visibility struct {
	As     []Capacity
	Window Window
}

// CanSee reports whether any capacity of the viewer shows this kind of data now.
func (s Visibility) CanSee(k Kind) bool {
	return slices.ContainsFunc(s.As, func(as Capacity) bool { return s.Window.Opens(Disclosed(k, as)) })
}

// CanPhone reports whether the viewer sees the number of somebody they have to phone now: there
// is a talk to have, or a decision was not read. Our judgment: those calls are made days before
// the hike, by whoever has the talks.
func (s Visibility) CanPhone() bool {
	return s.CanSee(KindContact) || s.Window.Ahead && s.CanSee(KindScreening)
}
