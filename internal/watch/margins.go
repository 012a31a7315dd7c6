package watch

import (
	"time"

	"saltbush/internal/rules"
	"saltbush/internal/unit"
)

// Margins are the house's settings of the overdue ladder.
type Margins struct {
	// Watch is the share of ordinary walks that are back by the watch time.
	Watch unit.Fraction
	// Widen is the wait from the watch time until asking more widely, Call until the call for
	// help, Urgent until the call if delay costs most (see Promise.Urgent).
	Widen, Call, Urgent time.Duration
}

// MarginsOf reads the margins from the house's rules.
func MarginsOf(r rules.Rules) Margins {
	return Margins{Watch: r.WatchShare, Widen: r.WidenAfter, Call: r.CallAfter, Urgent: r.UrgentAfter}
}

// margins returns the promise's margins, or the defaults if it has none.
func (p Promise) margins() Margins {
	if p.Margins == (Margins{}) {
		return DefaultMargins()
	}
	return p.Margins
}

// DefaultMargins returns the defaults: P90, half an hour, an hour, half an hour if it is
// urgent. Our judgment: they follow the form of published trip plans with two times (US
// National Park Service, trip plan pages) and the half-hour steps of ICAO Annex 12, 5.2.
//
// TestSeasonTable simulates what they cost: 10 000 walks out and back drawn from the
// planning model, 3.1 hours on average, one day in five hot, one group in ten with a minor.
// The columns are the minutes from the beginning of trouble to the call for help, mean and
// P90, and the percentage of parties without trouble that are asked about (uncertainty),
// asked about widely (alert) and reported missing (distress), first if nobody reports
// anything, then if half of the hikes report counts and delays:
//
//	watch, wait   minutes       no contact        half in contact
//	P85, 30       164   277   15.3  4.6  4.6      8.1  2.4  2.4
//	P85, 45       175   290   15.3  4.6  3.1      8.1  2.4  1.7
//	P85, 60       186   302   15.3  4.6  2.4      8.1  2.4  1.2
//	P85, 90       208   327   15.3  4.6  1.6      8.1  2.4  0.8
//	P90, 30       175   293   10.4  3.0  3.0      5.4  1.6  1.6
//	P90, 45       186   305   10.4  3.0  2.1      5.4  1.6  1.1
//	P90, 60       197   318   10.4  3.0  1.6      5.4  1.6  0.9
//	P90, 90       219   343   10.4  3.0  1.0      5.4  1.6  0.5
//	P95, 30       194   318    5.3  1.6  1.6      2.8  0.9  0.9
//	P95, 45       204   331    5.3  1.6  1.1      2.8  0.9  0.6
//	P95, 60       215   343    5.3  1.6  0.8      2.8  0.9  0.4
//	P95, 90       237   369    5.3  1.6  0.5      2.8  0.9  0.3
//
// The goals are false calls on less than 2 % of walks without contact and on less than 1 %
// if half report, and waking somebody for nothing on at most 12 %. P85 misses them. With the
// watch at P90, an hour is the shortest wait that meets them. P95 with 30 minutes meets them
// too, and the call comes no later, but the asking starts later, and asking is what helps a
// late party with a dead phone first. Longer walks have a wider spread in minutes, so their
// shares are higher at any fixed wait.
func DefaultMargins() Margins {
	return MarginsOf(rules.DefaultRules())
}
