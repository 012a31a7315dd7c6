package signup

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// State is where a person's place stands.
type State string

// The states of a sign-up. Who is asked has a talk before them, and a place is held for
// them for a while where one was free; who is offered a place has to take it.
const (
	Asked State = "asked"
	// Offered waits for its person's word: a place came free, or the hike has moved to a harder
	// trail; that one is held without an end.
	Offered    State = "offered"
	Confirmed  State = "confirmed"
	Waiting    State = "waiting"
	Withdrawn  State = "withdrawn"
	TurnedAway State = "turned away"
)

// SignUp is a person's place on a hike. ID is also the person's name on the roll.
type SignUp struct {
	ID    string // uuid text
	Hike  ref.Hike
	State State
	// Order is the order of asking; the waiting list is served by it.
	Order          int64
	Name           string
	Email          string
	Mobile         string
	EmergencyName  string
	EmergencyPhone string
	// ContactEmail is where the contact is asked whether they can be reached; ContactAsked
	// is when they were, ContactConfirmed when they said yes, or a leader heard it.
	ContactEmail                   string
	ContactAsked, ContactConfirmed time.Time
	// LongestWalk is where the longest walk of the last weeks was and how it felt, in the
	// person's words; the figures are in Told.
	LongestWalk string
	// HotDays is how many of the last 14 days were spent active in the heat.
	HotDays    int
	Water      unit.Volume // that the person can bring
	SelfReport SelfReport
	// Minor people need a guardian who agrees: by name, and when.
	Minor         bool
	Guardian      string
	GuardianPhone string
	Consented     time.Time
	// Adult is the name of the grown-up on this hike who answers for a minor, as the person
	// typed it; AdultID is who that is, "" while nobody on the hike has the name.
	Adult   string
	AdultID ref.Person
	Car     Car
	// Needs is what the leader should do for the person that day. A store seals it into the
	// person's medical card and gives it back to nobody in this place.
	Needs string
	// Carded says that the person has a medical card; the store fills it in.
	Carded bool
	// Because is why the person was turned away.
	Because string
	// Acknowledged says that the person, or a minor's guardian, accepted that the walk has
	// risks: the text of RiskVersion, at RiskAccepted.
	Acknowledged bool
	RiskVersion  string
	RiskAccepted time.Time
	Screening    Screening
	// HeldUntil is how long a place is kept for someone asked or offered; zero for none.
	HeldUntil time.Time
	// NoShow is noted once the roll is closed, without blame.
	NoShow bool
	Asked  time.Time
	// BroughtBy is who brought the request in from a list; "" where the person asked.
	ImportedBy string
	// Link is the hash of the secret that opens this place.
	Link []byte
}

// Check returns an Invalid naming each fault of a request for a place. It puts names,
// addresses and numbers to ring into the form in which they are kept; region is whose local
// numbers are meant.
func (s *SignUp) Check(region string) error {
	v := fault.Invalid{}
	v.Name("name", &s.Name, "Give your name as your family would say it.")
	v.Address("email", &s.Email, "Give an e-mail address we can write to, such as you@example.org.")
	v.Phone("mobile", &s.Mobile, region)
	checkContact(v, s, region)
	v.Require("longest", s.LongestWalk, 500, "Tell us where your longest recent walk was, and how you felt after.")
	checkSelfReport(v, s.SelfReport)
	if s.HotDays < 0 || s.HotDays > 14 {
		v.Add("hot_days", "Give a number of days from 0 to 14.")
	}
	if s.Water < 0 || s.Water > 20 {
		v.Add("water", "Give litres between 0 and 20.")
	}
	CheckCar(v, s.Car)
	checkMinor(v, s, region)
	v.AtMost("needs", s.Needs, 2000)
	if !s.Acknowledged {
		v.Add("agree", "Read and accept the risks, or choose not to come: that is a good decision too.")
	}
	return v.Err()
}

// OnHike reports whether the person has or wants a place.
func (s SignUp) OnHike() bool {
	return s.State != Withdrawn && s.State != TurnedAway
}

// Withdraw gives the place back. Withdrawing twice is no fault.
func (s *SignUp) Withdraw() error {
	if s.State == TurnedAway {
		return fault.Refusal("This sign-up was turned away; there is no place to give back.")
	}
	s.State, s.HeldUntil = Withdrawn, time.Time{}
	return nil
}

// TurnAway refuses the person a place on the hike; the place is free again. The reason is
// kept and shown to the person.
func (s *SignUp) TurnAway(from ref.Hike, reason string) error {
	if s.Hike != from {
		return fmt.Errorf("sign-up %s on hike %d: %w", s.ID, from, fault.ErrNotFound)
	}
	v := fault.Invalid{}
	v.Require("reason", reason, 500, "Say why, in neutral words: the person reads it.")
	if err := v.Err(); err != nil {
		return err
	}
	s.State, s.Because, s.HeldUntil = TurnedAway, reason, time.Time{}
	return nil
}

// AskAgain gives up a withdrawal: the person joins the end of the queue. Whoever had a talk
// before them has it still.
func (s *SignUp) AskAgain() error {
	if s.State != Withdrawn {
		return fault.Refusal("This place was not withdrawn.")
	}
	s.State, s.Because = Waiting, ""
	if s.Screening.Open() {
		s.State = Asked
	}
	return nil
}
