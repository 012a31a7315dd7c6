package signup

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// State is the state of a person's place.
type State string

// The states of a sign-up. Somebody in state Asked has a talk first; if a place was free, it is
// held for them for a while. Somebody in state Offered has to accept the place.
const (
	Asked State = "asked"
	// Offered waits for the person's answer: a place came free, or the hike moved to a harder
	// trail. In the second case the place is held without a time limit.
	Offered    State = "offered"
	Confirmed  State = "confirmed"
	Waiting    State = "waiting"
	Withdrawn  State = "withdrawn"
	TurnedAway State = "turned away"
)

// SignUp is a person's place on a hike, or their request for one. ID also identifies the person
// on the roll.
type SignUp struct {
	ID    string // UUID text
	Hike  ref.Hike
	State State
	// Order is the order in which people asked; the waiting list is served in it.
	Order          int64
	Name           string
	Email          string
	Mobile         string
	EmergencyName  string
	EmergencyPhone string
	// ContactEmail is where the contact is asked whether they can be reached. ContactAsked is
	// when they were asked, ContactConfirmed when they said yes, by mail or to a leader.
	ContactEmail                   string
	ContactAsked, ContactConfirmed time.Time
	// LongestWalk is where their longest recent walk was and how it felt, in the person's
	// words. The figures are in SelfReport.
	LongestWalk string
	// HotDays is on how many of the last 14 days they were active in heat.
	HotDays    int
	Water      unit.Volume // what the person can bring
	SelfReport SelfReport
	// Minors need a guardian who agrees: Guardian is who, Consented when.
	Minor         bool
	Guardian      string
	GuardianPhone string
	Consented     time.Time
	// Adult is the name of the grown-up on this hike who answers for a minor, as it was typed.
	// AdultID is who that is; "" if nobody on the hike had that name.
	Adult   string
	AdultID ref.Person
	Car     Car
	// Needs is what the leader should do for the person that day. The store seals it into the
	// person's medical card and never returns it here.
	Needs string
	// Carded means that the person has a medical card. Only the store sets it.
	Carded bool
	// Because is why the person was turned away.
	Because string
	// Acknowledged means that the person, or a minor's guardian, accepted the risks: the text
	// of RiskVersion, at RiskAccepted.
	Acknowledged bool
	RiskVersion  string
	RiskAccepted time.Time
	Screening    Screening
	// HeldUntil is until when a place is held for somebody asked or offered; zero for no limit.
	HeldUntil time.Time
	// NoShow is set once the roll is closed. It is no reproach.
	NoShow bool
	Asked  time.Time
	// ImportedBy is who imported the request from a list; "" if the person asked themselves.
	ImportedBy string
	// Link is the hash of the secret that opens this sign-up.
	Link []byte
}

// Check returns an Invalid that lists each fault of a request. It normalizes names, addresses
// and phone numbers; region is the country of numbers without a country code.
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

// Withdraw gives the place back. Withdrawing twice is not an error.
func (s *SignUp) Withdraw() error {
	if s.State == TurnedAway {
		return fault.Refusal("This sign-up was turned away; there is no place to give back.")
	}
	s.State, s.HeldUntil = Withdrawn, time.Time{}
	return nil
}

// TurnAway refuses the person a place on the hike. The reason is stored, and the person reads
// it.
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

// AskAgain undoes a withdrawal: the person goes to the end of the queue. If they still had a
// talk to hold, they still do.
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
