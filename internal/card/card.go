package card

import (
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/text"
)

// Of is whose card it is: a person on one hike.
type Of struct {
	Hike   ref.Hike
	Person string // uuid text of the sign-up
}

// Card is a medical card as the person wrote it. Any text may be empty.
type Card struct {
	// Action is one line on what to do for the person: "If confused or sweaty: sugar, call."
	Action string
	Details
}

// Details is the part of a card that opens only with a written reason. It is stored as JSON.
type Details struct {
	Born          string `json:"born,omitempty"` // as typed, such as 1961-04-30
	Conditions    string `json:"conditions,omitempty"`
	Allergies     string `json:"allergies,omitempty"` // and how severe they are
	Carried       string `json:"carried,omitempty"`   // injector, inhaler, glucose: where in the pack, who can help
	Medicines     string `json:"medicines,omitempty"` // name, reason, effect in heat
	HeatHistory   string `json:"heat_history,omitempty"`
	Communication string `json:"communication,omitempty"`
	Doctor        string `json:"doctor,omitempty"`
}

// Length limits, in characters. Our judgment: the action line must be read at a glance on a
// phone in the sun; the details are a few sentences each.
const (
	LongestAction = 300
	LongestText   = 1000
)

// Blank reports whether the card is empty.
func (c Card) Blank() bool { return c == Card{} }

// Validate returns a fault.Invalid by the names of the form fields.
func (c Card) Validate() error {
	v := fault.Invalid{}
	for _, f := range []struct {
		name, text string
		longest    int
	}{
		{"action", c.Action, LongestAction},
		{"born", c.Born, LongestText},
		{"conditions", c.Conditions, LongestText},
		{"allergies", c.Allergies, LongestText},
		{"carried", c.Carried, LongestText},
		{"medicines", c.Medicines, LongestText},
		{"heat_history", c.HeatHistory, LongestText},
		{"communication", c.Communication, LongestText},
		{"doctor", c.Doctor, LongestText},
	} {
		if text.Longer(f.text, f.longest) {
			v.Add(f.name, "This is too long to be read in need. Say it in fewer words.")
		}
	}
	if _, err := time.Parse(time.DateOnly, c.Born); c.Born != "" && err != nil {
		v.Add("born", "Give the date, such as 1961-04-30.")
	}
	return v.Err()
}

// MayWrite returns nil if the person may still write a card, or a fault.Refusal.
func MayWrite(h hike.Hike, s signup.SignUp) error {
	switch {
	case h.State == hike.Closed || h.State == hike.CalledOff:
		return fault.Refusal("This hike is over. Its medical cards are not written any more.")
	case s.State == signup.Withdrawn || s.State == signup.TurnedAway:
		return fault.Refusal("There is no place on this hike, so there is no medical card.")
	}
	return nil
}
