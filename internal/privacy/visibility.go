package privacy

import "slices"

// Kind is a kind of data about people who sign up.
type Kind string

// The kinds of data, the rows of the table of who sees what.
const (
	KindName      Kind = "name"               // name, whereabouts, counts, and the water they bring
	KindContact   Kind = "contacts"           // the person's, the family's and the guardian's
	KindAction    Kind = "action line"        // what to do for the person that day
	KindCard      Kind = "medical card"       // everything else about health
	KindPlate     Kind = "plates"             // of the cars they come in
	KindScreening Kind = "screening notes"    // what they walked lately, and the talk about it
	KindIncident  Kind = "incident narrative" // what happened and to whom
	KindRide      Kind = "shared ride"        // first name, number and town, to those in one car
)

// Kinds lists every kind of data.
func Kinds() []Kind {
	return []Kind{KindName, KindContact, KindAction, KindCard, KindPlate, KindScreening, KindIncident, KindRide}
}

// Capacity is what somebody is to a hike, or to the organisation, when they look at it.
type Capacity string

// The capacities, the columns of the table. One person may have several.
const (
	AsPublic      Capacity = "public"            // anybody, other walkers too
	AsPerson      Capacity = "person"            // whom the data is about, by the private link
	AsRider       Capacity = "rider"             // shares a car, where both said yes to being told
	AsSweep       Capacity = "sweep"             // sweep and assistants, and who holds the link for the day
	AsLeader      Capacity = "leader"            // of this hike
	AsOtherLeader Capacity = "other leader"      // of other hikes, or on call for them, who reads the board
	AsOnCall      Capacity = "on-call"           // on-call, deputy, and whoever took the alarm
	AsCoordinator Capacity = "coordinator"       // runs the programme
	AsSafety      Capacity = "safety officer"    // looks into what happened
	AsTrainer     Capacity = "trainer"           // sees records of staff alone
	AsLandManager Capacity = "land manager"      // gets the numbers
	AsResponder   Capacity = "search and rescue" // is told by whoever hands over
)

// Capacities lists every capacity.
func Capacities() []Capacity {
	return []Capacity{AsPublic, AsPerson, AsRider, AsSweep, AsLeader, AsOtherLeader, AsOnCall, AsCoordinator, AsSafety, AsTrainer, AsLandManager, AsResponder}
}

// Disclosure is the answer of the table.
type Disclosure string

// The answers. Never is the zero value: what the table does not name is not shown.
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

// Disclosed is the table of who sees what: trade practice, section 6. House judgement, where
// it says nothing or less: the board names people to leaders of other hikes while they are
// watched, and tells nothing more until they take the alarm; the leader of a hike reads its
// names from the first request for a place, since the talks before it are theirs to have. In
// a shared car two people tell each other what it takes to meet, and no more, while both say
// yes; who plans the cars reads the towns.
func Disclosed(k Kind, s Capacity) Disclosure { return disclosures()[k][s] }

func disclosures() map[Kind]map[Capacity]Disclosure {
	return map[Kind]map[Capacity]Disclosure{
		KindName: {AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: Always, AsOtherLeader: WhileWatched, AsOnCall: WhileWatched,
			AsCoordinator: Always, AsSafety: Always, AsLandManager: NumbersOnly, AsResponder: OnAlarm},
		KindContact: {AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: WhileWatched, AsCoordinator: Always,
			AsSafety: Always, AsResponder: OnAlarm},
		KindAction: {AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: OnAlarm, AsSafety: Always, AsResponder: OnAlarm},
		KindCard:   {AsPerson: OwnPart, AsLeader: OnOpening, AsOnCall: OnAlarmOpened, AsSafety: OnIncident, AsResponder: OnAlarmOpened},
		KindPlate: {AsPerson: OwnPart, AsSweep: ThatDay, AsLeader: ThatDay, AsOnCall: WhileWatched, AsCoordinator: Always,
			AsSafety: Always, AsLandManager: OnAlarm, AsResponder: OnAlarm},
		KindScreening: {AsPerson: OwnPart, AsLeader: Always, AsCoordinator: Always, AsSafety: Always},
		KindIncident: {AsPerson: OwnPart, AsSweep: OwnPart, AsLeader: OwnPart, AsCoordinator: Redacted, AsSafety: Always,
			AsLandManager: Redacted},
		KindRide: {AsPerson: OwnPart, AsRider: Always, AsSweep: ThatDay, AsLeader: Always, AsCoordinator: Always},
	}
}

// Window says which of the times of disclosure it is for one hike.
type Window struct {
	Ahead   bool // it has not started: there are still people to ring
	Day     bool // the hike's day: from the evening before until it is settled
	Watched bool // it has left, or should have, and on-call has not stood down
	Alarm   bool // the watch time has passed, or help is asked for
}

// Opens reports whether the answer shows the data as it stands in this window. What opens
// only by a logged act of its own is not shown by it.
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

// Visibility is what one viewer may see of the people of one hike.
type Visibility struct {
	As     []Capacity
	Window Window
}

// CanSee reports whether any capacity of the viewer shows this kind of data now.
func (s Visibility) CanSee(k Kind) bool {
	return slices.ContainsFunc(s.As, func(as Capacity) bool { return s.Window.Opens(Disclosed(k, as)) })
}

// CanPhone reports whether the viewer sees the number of somebody whom they have to ring now:
// a talk is open, or a decision has not been read. House judgement: those calls are made days
// before the hike, by those who have the talks.
func (s Visibility) CanPhone() bool {
	return s.CanSee(KindContact) || s.Window.Ahead && s.CanSee(KindScreening)
}

// Own reports whether the viewer sees the data about themselves.
func (s Visibility) Own(k Kind) bool {
	return slices.ContainsFunc(s.As, func(as Capacity) bool { return Disclosed(k, as) == OwnPart && as == AsPerson })
}
