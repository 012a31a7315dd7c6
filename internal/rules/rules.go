package rules

import (
	"encoding/json"
	"fmt"
	"maps"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/heat"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// Rules are what an organisation sets for itself: its own judgement, shown as such and
// never as law. AllRules says of each what it is called, where its default is from, and
// which way caution lies.
type Rules struct {
	// Ratio is how many participants each of the staff may have with them, FewestStaff the
	// number below which no party leaves, MinorsPerAdult how many minors one responsible
	// adult may have with them.
	Ratio, FewestStaff, MinorsPerAdult int
	// DecisionLead is how long before the start the go decision is due. Everybody told has
	// ChaseAfter to say that they read it, or until ChaseBefore the meeting time.
	DecisionLead, ChaseAfter, ChaseBefore time.Duration
	// Grace is how long a party waits at the trailhead for the late.
	Grace time.Duration
	// SignUpCutOff is how long before the meeting time places close. Hold is how long a
	// half-done sign-up keeps its place.
	SignUpCutOff, Hold time.Duration
	// YoungestAlone is the age from which a person comes without a guardian's consent,
	// TalkFrom the age from which there is a talk first on a strenuous hike.
	YoungestAlone, TalkFrom int
	// A scout report stands for ScoutWet in the storm season and ScoutDry otherwise. The
	// season is from StormFirst to StormLast, both included.
	ScoutWet, ScoutDry    time.Duration
	StormFirst, StormLast time.Month
	// Ladder, HotDay and ForecastError judge the heat; see plan.House.
	Ladder                heat.Ladder
	HotDay, ForecastError unit.Temperature
	// DaylightMargin and ReturnFactor set the turnaround; see plan.House.
	DaylightMargin time.Duration
	ReturnFactor   unit.Fraction
	// BodyMass, Load and LongDrinking stand for an ordinary adult; see plan.House.
	BodyMass, Load unit.Mass
	LongDrinking   unit.Flow
	// WatchShare of ordinary walks are back by the watch time; WidenAfter, CallAfter and
	// UrgentAfter are the waits from it until asking more widely and until the call.
	WatchShare                         unit.Fraction
	WidenAfter, CallAfter, UrgentAfter time.Duration
	// Debrief is how long staff stay after the finish.
	Debrief time.Duration
	// What is kept of people, counted from the close of a hike.
	KeepMedical, KeepPlates, KeepContacts, KeepNames, KeepWaivers, KeepIncidents time.Duration
	// SecondStep is how long coordinators may sign in with a password alone after they are
	// first asked for a second step.
	SecondStep time.Duration
}

// Day is how long things are kept in.
const Day = 24 * time.Hour

// DefaultRules returns the defaults. The source of each stands beside it in AllRules,
// where people read it too.
func DefaultRules() Rules {
	house := plan.DefaultHouse()
	return Rules{
		Ratio: Ratio, FewestStaff: FewestStaff, MinorsPerAdult: 3,
		DecisionLead: 18 * time.Hour, ChaseAfter: 4 * time.Hour, ChaseBefore: 6 * time.Hour,
		Grace: 10 * time.Minute, SignUpCutOff: 0, Hold: 48 * time.Hour,
		YoungestAlone: 18, TalkFrom: 70,
		ScoutWet: 30 * Day, ScoutDry: 90 * Day, StormFirst: time.June, StormLast: time.September,
		Ladder: house.Ladder, HotDay: house.HotDay, ForecastError: house.ForecastError,
		DaylightMargin: house.DaylightMargin, ReturnFactor: unit.Fraction(house.ReturnFactor),
		BodyMass: house.BodyMass, Load: house.Load, LongDrinking: house.LongDrinking,
		WatchShare: 0.90, WidenAfter: 30 * time.Minute, CallAfter: house.CallAfter, UrgentAfter: house.CallAfterHeat,
		Debrief:     20 * time.Minute,
		KeepMedical: 14 * Day, KeepPlates: 14 * Day, KeepContacts: 90 * Day, KeepNames: 365 * Day,
		KeepWaivers: 4 * 365 * Day, KeepIncidents: 7 * 365 * Day,
		SecondStep: 14 * Day,
	}
}

// secondStepNever is the wait with which a house says that it asks for no second step.
const secondStepNever = 3650 * Day

// SecondStepBy returns by when a coordinator who was first asked then has a second step;
// false where the house asks for none.
func (r Rules) SecondStepBy(asked time.Time) (time.Time, bool) {
	return asked.Add(r.SecondStep), r.SecondStep < secondStepNever
}

// PlanHouse returns the rules that a plan is made with.
func (r Rules) PlanHouse() plan.House {
	house := plan.DefaultHouse()
	house.DaylightMargin, house.ReturnFactor = r.DaylightMargin, float64(r.ReturnFactor)
	house.CallAfter, house.CallAfterHeat, house.HotDay = r.CallAfter, r.UrgentAfter, r.HotDay
	house.BodyMass, house.Load, house.LongDrinking = r.BodyMass, r.Load, r.LongDrinking
	house.Ladder, house.ForecastError = r.Ladder, r.ForecastError
	return house
}

// StaffNeeded returns how many staff a number of participants asks for.
func (r Rules) StaffNeeded(participants int) int {
	return max(r.FewestStaff, (participants+r.Ratio-1)/r.Ratio)
}

// ScoutStands returns for how long a scout report stands on a day.
func (r Rules) ScoutStands(on time.Time) time.Duration {
	month := on.Month()
	inside := month >= r.StormFirst && month <= r.StormLast
	if r.StormFirst > r.StormLast { // the season goes over the turn of the year
		inside = month >= r.StormFirst || month <= r.StormLast
	}
	if inside {
		return min(r.ScoutWet, r.ScoutDry)
	}
	return r.ScoutDry
}

// Validate returns an Invalid naming each fault by the key of its rule.
func (r Rules) Validate() error {
	v := fault.Invalid{}
	for _, rule := range AllRules() {
		if a := rule.Of(r); !(a >= rule.Least && a <= rule.Most) {
			v.Add(rule.Key, fmt.Sprintf("This rule is kept between %s and %s.", rule.Unit.Words(rule.Least), rule.Unit.Words(rule.Most)))
		}
	}
	l := r.Ladder
	if !(l.ShorterFrom < l.ShortOnlyFrom) {
		v.Add("short_only_from", "The second step of the ladder begins above the first.")
	}
	if !(l.ShortOnlyFrom < l.CancelFrom) {
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

// Own returns the rules that differ from the defaults, by key: what an organisation has
// set itself. The zero Rules have set nothing.
func (r Rules) Own() map[string]Amount {
	own, standard := map[string]Amount{}, DefaultRules()
	if r == (Rules{}) {
		return own
	}
	for _, rule := range AllRules() {
		if a := rule.Of(r); a != rule.Of(standard) {
			own[rule.Key] = a
		}
	}
	return own
}

// RulesOf returns the defaults with an organisation's own rules in their place. A key that
// no rule has is a fault: a rule that nothing reads must not look as if it held.
func RulesOf(own map[string]Amount) (Rules, error) {
	r, left := DefaultRules(), maps.Clone(own)
	if len(own) == 0 {
		return r, nil
	}
	for _, rule := range AllRules() {
		if a, set := own[rule.Key]; set {
			rule.Set(&r, a)
			delete(left, rule.Key)
		}
	}
	v := fault.Invalid{}
	for key := range left {
		v.Add(key, "No rule has this name.")
	}
	if err := v.Err(); err != nil {
		return r, err
	}
	return r, r.Validate()
}

// ReadRules reads an organisation's own rules from JSON: a figure by each key, in the unit
// of its rule. What is missing takes the default.
func ReadRules(text []byte) (Rules, error) {
	own := map[string]Amount{}
	if len(text) == 0 {
		return DefaultRules(), nil
	}
	if err := json.Unmarshal(text, &own); err != nil {
		return DefaultRules(), fmt.Errorf("rules of the house: %w", err)
	}
	return RulesOf(own)
}
