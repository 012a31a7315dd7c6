package party

import (
	"time"

	"saltbush/internal/unit"
)

// Terms are what a departure is checked against besides the roll: the trail's permit, the plan's
// water and the house's rules, as plain values that a phone can keep.
type Terms struct {
	// PermitCap is the largest party the land manager allows, 0 if not known.
	PermitCap int `json:"permit_cap,omitempty"`
	// PermitStaff means that the cap counts staff too.
	PermitStaff bool `json:"permit_staff,omitempty"`
	// Planned means that there is a plan; Full and Short are its routes.
	Planned bool `json:"planned,omitempty"`
	Full    Way  `json:"full"`
	Short   *Way `json:"short,omitempty"`
	// Hot means that the planned day is hot enough to shorten every wait.
	Hot bool `json:"hot,omitempty"`
	// Dusk is the end of civil twilight, zero if not known.
	Dusk time.Time `json:"dusk,omitzero"`
	// Off is when everybody must be off the trail, by the trailhead's clock, and OffBecause why. It
	// is zero if neither heat nor daylight sets an end.
	Off        time.Time `json:"off,omitzero"`
	OffBecause string    `json:"off_because,omitempty"`
	// FewestStaff, Ratio and MinorsPerAdult are the organization's rules: staff per party, walkers
	// per staff member, minors per adult.
	FewestStaff    int `json:"fewest_staff"`
	Ratio          int `json:"ratio"`
	MinorsPerAdult int `json:"minors_per_adult"`
	// OnCall is who is on call, empty for nobody. OnCallAgreed means that they said yes.
	OnCall       string `json:"on_call,omitempty"`
	OnCallAgreed bool   `json:"on_call_agreed,omitempty"`
	// OnCallReached means that an alarm can reach them.
	OnCallReached bool `json:"on_call_reached,omitempty"`
	// OnCallOverride says who lets the hike go all the same, and why; empty for nobody.
	OnCallOverride string `json:"on_call_override,omitempty"`
	// Decision says who decided that the hike goes; empty if nobody did. DecidedEarly means that it
	// was decided too long ago for the day's forecast.
	Decision     string `json:"decision,omitempty"`
	DecidedEarly bool   `json:"decided_early,omitempty"`
}

// Way is one of the routes that may be chosen at the trailhead.
type Way struct {
	// Name is where the route turns, empty for the full route.
	Name string `json:"name,omitempty"`
	// Need is the water of one person for the time that nine walks in ten stay within.
	Need unit.Volume `json:"need_litres"`
	// Late is that time, zero if not known.
	Late time.Duration `json:"late_ns,omitempty"`
}

// wayOf returns the way of a route, the full one if there is no other.
func (t Terms) wayOf(route Route) Way {
	if route == RouteShort && t.Short != nil {
		return *t.Short
	}
	return t.Full
}

// roleLeader is the role of the leader on a roster.
const roleLeader = "leader"

// staffNeeded returns how many staff a number of walkers needs.
func (t Terms) staffNeeded(walkers int) int {
	if t.Ratio <= 0 {
		return t.FewestStaff
	}
	return max(t.FewestStaff, (walkers+t.Ratio-1)/t.Ratio)
}
