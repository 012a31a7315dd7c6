package card

import (
	"time"
	"unicode/utf8"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// Of names whose card it is: a person, by their sign-up, on one hike.
type Of struct {
	Hike   ref.Hike
	Person string // uuid text of the sign-up
}

// Card is what a person tells. Every text may stay empty.
type Card struct {
	// Action is what to do for the person, in a line: "If confused or sweaty: sugar, call."
	Action string
	Details
}

// Details is the part of a card that opens only with a written reason.
type Details struct {
	Born          string `json:"born,omitempty"` // as typed, such as 1961-04-30
	Conditions    string `json:"conditions,omitempty"`
	Allergies     string `json:"allergies,omitempty"` // and how bad they get
	Carried       string `json:"carried,omitempty"`   // injector, inhaler, glucose: where in the pack, who can help
	Medicines     string `json:"medicines,omitempty"` // name, reason, effect in heat
	HeatHistory   string `json:"heat_history,omitempty"`
	Communication string `json:"communication,omitempty"`
	Doctor        string `json:"doctor,omitempty"`
}

// The longest texts that a card takes, in characters. House judgement: a line is read at a
// glance on a phone in sun; the rest is some sentences each.
const (
	LongestAction = 300
	LongestText   = 1000
)

// Blank reports whether the card says nothing.
func (c Card) Blank() bool { return c == Card{} }

type text struct {
	name string
	text *string
}

// texts lists every text by the name of its form field.
func (c *Card) texts() []text {
	return []text{
		{"action", &c.Action}, {"born", &c.Born}, {"conditions", &c.Conditions},
		{"allergies", &c.Allergies}, {"carried", &c.Carried}, {"medicines", &c.Medicines},
		{"heat_history", &c.HeatHistory}, {"communication", &c.Communication}, {"doctor", &c.Doctor},
	}
}

// Validate returns a hike.Invalid naming each text that is at fault.
func (c Card) Validate() error {
	v := fault.Invalid{}
	for _, f := range c.texts() {
		longest := LongestText
		if f.name == "action" {
			longest = LongestAction
		}
		if utf8.RuneCountInString(*f.text) > longest {
			v.Add(f.name, "This is too long to be read in need. Say it in fewer words.")
		}
	}
	if _, err := time.Parse(time.DateOnly, c.Born); c.Born != "" && err != nil {
		v.Add("born", "Give the date, such as 1961-04-30.")
	}
	return v.Err()
}

// MayWrite reports whether a card may still be written: until the hike is over.
func MayWrite(h hike.Hike, s signup.SignUp) error {
	switch {
	case h.State == hike.Closed || h.State == hike.CalledOff:
		return fault.Refusal("This hike is over. Its medical cards are not written any more.")
	case s.State == signup.Withdrawn || s.State == signup.TurnedAway:
		return fault.Refusal("There is no place on this hike, so there is no medical card.")
	}
	return nil
}
