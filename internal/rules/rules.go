package rules

import (
	"encoding/json"
	"fmt"
	"maps"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// Rules are the settings of an organization. They are its own judgment, shown as such and never as law. AllRules
// gives each its name, its default and its source.
type Rules struct {
	// Ratio is the most participants for each of the staff, FewestStaff the fewest staff with which a party
	// leaves, MinorsPerAdult the most minors for each responsible adult.
	Ratio, FewestStaff, MinorsPerAdult int
	// DecisionLead is how long before the start the go decision is due. Its recipients are reminded once if they
	// have not read it: ChaseAfter it was sent, at the latest ChaseBefore the meeting time.
	DecisionLead, ChaseAfter, ChaseBefore time.Duration
	// Grace is how long a party waits at the trailhead for latecomers.
	Grace time.Duration
	// SignUpCutOff is how long before the meeting time sign-up closes. Hold is how long an unfinished sign-up
	// keeps its place.
	SignUpCutOff, Hold time.Duration
	// YoungestAlone is the age from which a person needs no guardian's consent, TalkFrom the age from which a
	// strenuous hike needs a talk first.
	YoungestAlone, TalkFrom int
	// A scout report is good for ScoutWet in the storm season and for ScoutDry otherwise. The season runs from
	// StormFirst to StormLast, both included.
	ScoutWet, ScoutDry    time.Duration
	StormFirst, StormLast time.Month

	Planning

	// WatchShare is the share of ordinary walks that are back by the watch time. WidenAfter is the wait from
	// then until asking more widely.
	WatchShare unit.Fraction
	WidenAfter time.Duration
	// Debrief is how long staff stay after the finish.
	Debrief time.Duration
	// How long data about people is kept, counted from the close of a hike.
	KeepMedical, KeepPlates, KeepContacts, KeepNames, KeepWaivers, KeepIncidents time.Duration
	// SecondStep is how long coordinators may sign in with a password alone after they are first asked for a
	// second step.
	SecondStep time.Duration
}

// Planning holds the rules that a plan is computed with. It is stored with every plan: the JSON keys are fixed.
type Planning struct {
	// DaylightMargin is how long before sunset everybody is to be off the trail.
	DaylightMargin time.Duration
	// ReturnFactor lengthens the way back when a turnaround is set.
	ReturnFactor unit.Fraction
	// CallAfter is the wait from the watch time to the call for help, UrgentAfter the same where delay costs
	// most: on a hot day, with a minor, or with few adults.
	CallAfter   time.Duration
	UrgentAfter time.Duration `json:"CallAfterHeat"`
	// HotDay is the air temperature from which UrgentAfter applies.
	HotDay unit.Temperature
	// BodyMass and Load are those of an ordinary adult with water and kit.
	BodyMass, Load unit.Mass
	// LongDrinking is the drinking rate above which a route is too long or too hot, whatever can be carried.
	LongDrinking unit.Flow
	Ladder       heat.Ladder
	// ForecastError is how much hotter than forecast a day may turn out, as a difference. The verdict warns where
	// it depends on that. Zero skips the check.
	ForecastError unit.Temperature
}

// Day is the unit of retention times.
const Day = 24 * time.Hour

// defaults holds the default of every row of the table.
var defaults = func() (r Rules) {
	for _, rule := range table {
		rule.Set(&r, rule.Default)
	}
	return r
}()

// DefaultRules returns the defaults of the table.
func DefaultRules() Rules { return defaults }

// Validate returns an Invalid with a message for each rule that is out of bounds or contradicts another, by key.
func (r Rules) Validate() error {
	v := fault.Invalid{}
	for _, rule := range table {
		if a := rule.Of(r); !(a >= rule.Least && a <= rule.Most) {
			v.Add(rule.Key, fmt.Sprintf("This rule is kept between %s and %s.",
				rule.Unit.Words(rule.Least), rule.Unit.Words(rule.Most)))
		}
	}
	if !(r.Ladder.ShorterFrom < r.Ladder.ShortOnlyFrom) {
		v.Add("short_only_from", "The second step of the ladder begins above the first.")
	}
	if !(r.Ladder.ShortOnlyFrom < r.Ladder.CancelFrom) {
		v.Add("cancel_from", "The last step of the ladder begins above the second.")
	}
	if r.UrgentAfter > r.CallAfter {
		v.Add("urgent_after", "The urgent wait is not longer than the usual one.")
	}
	if r.ScoutWet > r.ScoutDry {
		v.Add("scout_wet", "A report does not stand longer in the storm season than outside it.")
	}
	return v.Err()
}

// Own returns the amounts that differ from the defaults, by key. The zero Rules have none.
func (r Rules) Own() map[string]Amount {
	own := map[string]Amount{}
	if r == (Rules{}) {
		return own
	}
	for _, rule := range table {
		if a := rule.Of(r); a != rule.Of(defaults) {
			own[rule.Key] = a
		}
	}
	return own
}

// RulesOf returns the defaults with an organization's own amounts in their place. An unknown key is an error: a
// rule that nothing reads must not look as if it were in force.
func RulesOf(own map[string]Amount) (Rules, error) {
	r, unknown := defaults, maps.Clone(own)
	if len(own) == 0 {
		return r, nil
	}
	for _, rule := range table {
		if a, set := own[rule.Key]; set {
			rule.Set(&r, a)
			delete(unknown, rule.Key)
		}
	}
	v := fault.Invalid{}
	for key := range unknown {
		v.Add(key, "No rule has this name.")
	}
	if err := v.Err(); err != nil {
		return r, err
	}
	return r, r.Validate()
}

// ReadRules reads an organization's own rules from JSON: an amount by each key, in the unit of its rule. A missing
// key takes the default.
func ReadRules(text []byte) (Rules, error) {
	own := map[string]Amount{}
	if len(text) == 0 {
		return defaults, nil
	}
	if err := json.Unmarshal(text, &own); err != nil {
		return defaults, fmt.Errorf("rules of the house: %w", err)
	}
	return RulesOf(own)
}
