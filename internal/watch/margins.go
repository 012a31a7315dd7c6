package watch

import (
	"math"
	"time"

	"saltbush/internal/rules"
	"saltbush/internal/unit"
)

// Margins are the house's settings of the overdue ladder.
type Margins struct {
	// Watch is the share of ordinary walks that are back by the watch time.
	Watch unit.Fraction
	// Widen is the wait from the watch time until asking more widely, Call until the call
	// for help, Urgent the same where delay costs most (Promise.Urgent says when).
	Widen, Call, Urgent time.Duration
}

// MarginsOf reads the margins off the rules of the house.
func MarginsOf(r rules.Rules) Margins {
	return Margins{Watch: r.WatchShare, Widen: r.WidenAfter, Call: r.CallAfter, Urgent: r.UrgentAfter}
}

// margins are the promise's own, or the house defaults where it has none.
func (p Promise) margins() Margins {
	if p.Margins == (Margins{}) {
		return DefaultMargins()
	}
	return p.Margins
}

// within returns the time on the trail that a share of ordinary walks does not exceed, on
// the log-normal through P50 and P90.
func (p Promise) within(share unit.Fraction) time.Duration {
	sigma := p.sigma()
	if share == 0.90 || !(sigma > 0) {
		return p.P90
	}
	z := math.Sqrt2 * math.Erfinv(2*float64(share)-1)
	return time.Duration(float64(p.P50) * math.Exp(sigma*z))
}

// DefaultMargins returns the house defaults: P90, half an hour, an hour, half an hour where
// it is urgent. House judgement, in the shape of published two-time trip plans (US National
// Park Service, trip plan pages) and of the half-hour steps of ICAO Annex 12, 5.2.
//
// What they cost was simulated (TestSeasonTable): 10 000 walks out and back drawn from the
// planning model, 3.1 hours on average, a day in five hot and a group in ten with a minor.
// Minutes from the beginning of trouble to the call for help, mean and P90; percent of fine
// parties that are asked after (uncertainty), asked after widely (alert) and called for
// (distress), where nothing is heard, and where half of the hikes report counts and delays:
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
// The aim is a call for nothing in under 2 % of silent walks and under 1 % where half are
// heard, and nobody woken for nothing on more than 12 %. P85 misses it. Of those that
// meet it with the watch at P90, an hour is the shortest wait. P95 with 30 minutes meets it
// too and brings the call no later, but nobody would have asked by then who was woken at
// P90, and asking is what a late party with a dead telephone needs first. Longer walks have
// wider spreads in minutes: for them the shares are higher at any fixed wait.
func DefaultMargins() Margins {
	return MarginsOf(rules.DefaultRules())
}
