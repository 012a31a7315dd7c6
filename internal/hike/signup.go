package hike

import (
	"fmt"
	"net/mail"
	"strings"
	"time"
	"unicode"

	"saltbush/internal/unit"
)

// SignUpState is where a person's place stands.
type SignUpState string

// The states of a sign-up.
const (
	// Offered waits for its person's word: the hike has moved to a harder trail.
	Offered    SignUpState = "offered"
	Confirmed  SignUpState = "confirmed"
	Waiting    SignUpState = "waiting"
	Withdrawn  SignUpState = "withdrawn"
	TurnedAway SignUpState = "turned away"
)

// SignUp is a person's place on a hike. ID is also the person's name on the roll.
type SignUp struct {
	ID    string // uuid text
	Hike  HikeID
	State SignUpState
	// Order is the order of asking; the waiting list is served by it.
	Order          int64
	Name           string
	Email          string
	Mobile         string
	EmergencyName  string
	EmergencyPhone string
	// LongestWalk is the longest walk of the last eight weeks, in the person's words.
	LongestWalk string
	// HotDays is how many of the last 14 days were spent active in the heat.
	HotDays int
	Water   unit.Volume // that the person can bring
	// Minor people need a guardian's name.
	Minor         bool
	Guardian      string
	GuardianPhone string
	// Adult is the grown-up on this hike who answers for a minor, by name.
	Adult string
	Car   Car
	// Needs is what the leader should do for the person that day; it is shown to the
	// hike's staff and nobody else.
	Needs string
	// Because is why the person was turned away.
	Because string
	// Acknowledged is when the person accepted that the walk has risks.
	Acknowledged bool
	Asked        time.Time
	// Link is the hash of the secret that opens this place.
	Link []byte
}

// Validate returns an Invalid naming each fault of a request for a place.
func (s SignUp) Validate() error {
	v := Invalid{}
	v.require("name", s.Name, 120, "Give your name as your family would say it.")
	if a, err := mail.ParseAddress(s.Email); err != nil || a.Address != s.Email || len(s.Email) > 200 {
		v.Add("email", "Give an e-mail address we can write to, such as you@example.org.")
	}
	v.requirePhone("mobile", s.Mobile, "Give your mobile number with its area code.")
	v.require("contact", s.EmergencyName, 120, "Name somebody to ring who is not on this hike.")
	v.requirePhone("contact_tel", s.EmergencyPhone, "Give their number with its area code.")
	if digits(s.Mobile) != "" && digits(s.Mobile) == digits(s.EmergencyPhone) {
		v.Add("contact_tel", "This is your own number. Give the number of somebody who stays behind.")
	}
	v.require("longest", s.LongestWalk, 500, "Tell us your longest recent walk: how far, how long, how you felt.")
	if s.HotDays < 0 || s.HotDays > 14 {
		v.Add("hot_days", "Give a number of days from 0 to 14.")
	}
	if s.Water < 0 || s.Water > 20 {
		v.Add("water", "Give litres between 0 and 20.")
	}
	if s.Minor && strings.TrimSpace(s.Guardian) == "" {
		v.Add("guardian", "Name the parent or legal guardian who agrees.")
	}
	if s.Minor {
		v.requirePhone("guardian_tel", s.GuardianPhone, "Give the guardian's number with its area code.")
	}
	v.checkCar(s.Car)
	if s.Minor {
		v.require("adult", s.Adult, 120, "Name the adult on this hike who answers for the child.")
	}
	if len(s.Needs) > 2000 {
		v.Add("needs", "is too long: 2000 characters at most")
	}
	if !s.Acknowledged {
		v.Add("agree", "Read and accept the risks, or choose not to come: that is a good decision too.")
	}
	return v.Err()
}

// requirePhone wants 7 to 15 digits (ITU-T E.164 allows 15) and nothing but what phone
// numbers are written with.
func (v Invalid) requirePhone(field, value, message string) {
	n := len(digits(value))
	if n < 7 || n > 15 || strings.Trim(value, "0123456789 +-().") != "" {
		v.Add(field, message)
	}
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}

// Admit says what a new request becomes: confirmed while places are free and nobody is
// waiting, else waiting. It is asked with the hike's row locked.
func (h Hike) Admit(now time.Time, confirmed, waiting int) (SignUpState, error) {
	if !h.TakesSignUps(now) {
		return "", Refusal("This hike no longer takes sign-ups.")
	}
	if confirmed < h.Places && waiting == 0 {
		return Confirmed, nil
	}
	return Waiting, nil
}

// Promotable returns how many of the waiting move up when the confirmed number so many.
func (h Hike) Promotable(now time.Time, confirmed, waiting int) int {
	if !h.TakesSignUps(now) {
		return 0
	}
	return max(0, min(waiting, h.Places-confirmed))
}

// Withdraw gives the place back. Withdrawing twice is no fault.
func (s *SignUp) Withdraw() error {
	if s.State == TurnedAway {
		return Refusal("This sign-up was turned away; there is no place to give back.")
	}
	s.State = Withdrawn
	return nil
}

// TurnAway refuses the person a place on the hike; the place is free again. The reason is
// kept and shown to the person.
func (s *SignUp) TurnAway(from HikeID, reason string) error {
	if s.Hike != from {
		return fmt.Errorf("sign-up %s on hike %d: %w", s.ID, from, ErrNotFound)
	}
	v := Invalid{}
	v.require("reason", reason, 500, "Say why, in neutral words: the person reads it.")
	if err := v.Err(); err != nil {
		return err
	}
	s.State, s.Because = TurnedAway, reason
	return nil
}

// AskAgain gives up a withdrawal: the person joins the end of the queue.
func (s *SignUp) AskAgain() error {
	if s.State != Withdrawn {
		return Refusal("This place was not withdrawn.")
	}
	s.State = Waiting
	return nil
}
