package rules

import (
	"time"

	"saltbush/internal/unit"
)

// AllRules lists every rule of the house in the order of its page. Least and Most are House
// judgement: beyond them a figure is more likely a slip of the finger than a decision.
func AllRules() []Rule {
	var all []Rule
	for _, g := range []struct {
		name  string
		rules []Rule
	}{
		{"People and staff", staffRules()}, {"Before the day", beforeRules()}, {"Scout report", scoutRules()},
		{"Heat", heatRules()}, {"Water and load", loadRules()}, {"Daylight and the way back", wayRules()},
		{"Watch", watchRules()}, {"After the hike", afterRules()},
		{"Signing in", signInRules()},
	} {
		for _, r := range g.rules {
			r.Group = g.name
			all = append(all, r)
		}
	}
	return all
}

// RuleByKey finds a rule by its key.
func RuleByKey(key string) (Rule, bool) {
	for _, r := range AllRules() {
		if r.Key == key {
			return r, true
		}
	}
	return Rule{}, false
}

// tradeHouse is the source of a rule that trade practice marks as a house default.
const tradeHouse = "House judgement, after how clubs work."

// common is the source of a habit of the trade.
const common = "Common practice of the trade, no source."

func staffRules() []Rule {
	return []Rule{
		{Key: "ratio", Name: "Participants for each of the staff", Unit: People, Least: 3, Most: 15, Step: 1, Caution: Lower,
			Source: tradeHouse + " Eight on rough, hot or strenuous ground; clubs' texts run from 8 to 25 on easy loops.",
			access: figure(func(r *Rules) *int { return &r.Ratio })},
		{Key: "fewest_staff", Name: "Fewest staff of a party", Unit: People, Least: 2, Most: 6, Step: 1, Caution: Higher,
			Source: "Clubs' leader texts: never fewer than two, and the tail always named.",
			access: figure(func(r *Rules) *int { return &r.FewestStaff })},
		{Key: "minors_per_adult", Name: "Minors for each responsible adult", Unit: People, Least: 1, Most: 6, Step: 1, Caution: Lower,
			Source: "A mountain club's youth participation text: not more than three.",
			access: figure(func(r *Rules) *int { return &r.MinorsPerAdult })},
		{Key: "youngest_alone", Name: "Comes without a guardian's consent from the age of", Unit: Years, Least: 16, Most: 21, Step: 1, Caution: Higher,
			Source: "Common practice: 18, the age of majority in most places. Law comes first.",
			access: figure(func(r *Rules) *int { return &r.YoungestAlone })},
		{Key: "talk_from", Name: "On a strenuous hike, a talk first from the age of", Unit: Years, Least: 50, Most: 90, Step: 5, Caution: Lower,
			Source: tradeHouse + " Over 70 without recent evidence.",
			access: figure(func(r *Rules) *int { return &r.TalkFrom })},
	}
}

func beforeRules() []Rule {
	return []Rule{
		{Key: "decision_lead", Name: "The go decision is due before the start", Unit: Hours, Least: 8, Most: 48, Step: 2, Caution: Higher,
			Source: tradeHouse + " A fixed hour, so that people can sleep.",
			access: span(time.Hour, func(r *Rules) *time.Duration { return &r.DecisionLead })},
		{Key: "chase_after", Name: "Who has not said that they read it is reminded after", Unit: Hours, Least: 1, Most: 12, Step: 1, Caution: Lower,
			Source: "House judgement: an evening's mail is read in four hours or not at all.",
			access: span(time.Hour, func(r *Rules) *time.Duration { return &r.ChaseAfter })},
		{Key: "chase_before", Name: "and at the latest before the meeting time", Unit: Hours, Least: 2, Most: 14, Step: 1, Caution: Higher,
			Source: "House judgement: before people set out; later than this, telephone.",
			access: span(time.Hour, func(r *Rules) *time.Duration { return &r.ChaseBefore })},
		{Key: "grace", Name: "A party waits for the late", Unit: Minutes, Least: 0, Most: 30, Step: 5, Caution: Lower,
			Source: tradeHouse + " The published grace; fourteen people do not wait for one.",
			access: span(time.Minute, func(r *Rules) *time.Duration { return &r.Grace })},
		{Key: "sign_up_cut_off", Name: "Places close before the meeting time", Unit: Hours, Least: 0, Most: 168, Step: 6, Caution: Higher,
			Source: "House judgement: a place may be taken until people meet; a house that talks to everybody first needs longer.",
			access: span(time.Hour, func(r *Rules) *time.Duration { return &r.SignUpCutOff })},
		{Key: "hold", Name: "A half-done sign-up keeps its place", Unit: Hours, Least: 6, Most: 168,
			Source: tradeHouse + " Two days, then it is offered on.",
			access: span(time.Hour, func(r *Rules) *time.Duration { return &r.Hold })},
	}
}

func scoutRules() []Rule {
	return []Rule{
		{Key: "scout_wet", Name: "A scout report stands, in the storm season", Unit: Days, Least: 7, Most: 60, Step: 5, Caution: Lower,
			Source: tradeHouse + " One flood remakes a wash.",
			access: span(Day, func(r *Rules) *time.Duration { return &r.ScoutWet })},
		{Key: "scout_dry", Name: "and in the rest of the year", Unit: Days, Least: 14, Most: 180, Step: 15, Caution: Lower,
			Source: tradeHouse,
			access: span(Day, func(r *Rules) *time.Duration { return &r.ScoutDry })},
		{Key: "storm_first", Name: "The storm season begins with", Unit: CalendarMon, Least: 1, Most: 12,
			Source: "US National Weather Service: the monsoon season of the Southwest is 15 June to 30 September. Whole months.",
			access: figure(func(r *Rules) *time.Month { return &r.StormFirst })},
		{Key: "storm_last", Name: "and ends with", Unit: CalendarMon, Least: 1, Most: 12,
			Source: "The same.",
			access: figure(func(r *Rules) *time.Month { return &r.StormLast })},
	}
}

func heatRules() []Rule {
	return []Rule{
		{Key: "shorter_from", Name: "Ladder, shorter or earlier: felt from", Unit: Degrees, Least: 18, Most: 35, Step: 1, Caution: Lower,
			Source: "House judgement: 85 F, between the 80 F at which workplace rules want shade (California Title 8 s.3395) and 95 F.",
			access: figure(func(r *Rules) *unit.Temperature { return &r.Ladder.ShorterFrom })},
		{Key: "short_only_from", Name: "Ladder, short only: felt from", Unit: Degrees, Least: 22, Most: 40, Step: 1, Caution: Lower,
			Source: "House judgement: 95 F, where workplace rules call for extra procedures (California Title 8 s.3395).",
			access: figure(func(r *Rules) *unit.Temperature { return &r.Ladder.ShortOnlyFrom })},
		{Key: "cancel_from", Name: "Ladder, cancel: felt from", Unit: Degrees, Least: 25, Most: 43, Step: 1, Caution: Lower,
			Source: "House judgement: 100 F, above which agencies advise against walking on low flats.",
			access: figure(func(r *Rules) *unit.Temperature { return &r.Ladder.CancelFrom })},
		{Key: "full_sun", Name: "Full sun adds to what is felt in shade", Unit: DegreesMore, Least: 0, Most: 12, Step: 1, Caution: Higher,
			Source: "US National Weather Service, heat index note: up to 15 F.",
			access: figure(func(r *Rules) *unit.Temperature { return &r.Ladder.FullSun })},
		{Key: "hot_day", Name: "The urgent wait holds from an air temperature of", Unit: Degrees, Least: 25, Most: 40, Step: 1, Caution: Lower,
			Source: "House judgement: 95 F, as above.",
			access: figure(func(r *Rules) *unit.Temperature { return &r.HotDay })},
		{Key: "forecast_error", Name: "A day may turn out hotter than forecast by", Unit: DegreesMore, Least: 0, Most: 8, Step: 0.5, Caution: Higher,
			Source: tradeHouse + " 5 F at the decision hour, where the forecast is not corrected for the site.",
			access: figure(func(r *Rules) *unit.Temperature { return &r.ForecastError })},
	}
}

func loadRules() []Rule {
	return []Rule{
		{Key: "body_mass", Name: "Body of the adult that water and food are worked out for", Unit: Kilograms, Least: 50, Most: 120, Step: 5, Caution: Higher,
			Source: "The reference adult of ISO 7933 weighs 75 kg, from memory.",
			access: figure(func(r *Rules) *unit.Mass { return &r.BodyMass })},
		{Key: "load", Name: "and of their pack", Unit: Kilograms, Least: 2, Most: 25, Step: 1, Caution: Higher,
			Source: "House judgement: 4 L of water and 4 kg of kit.",
			access: figure(func(r *Rules) *unit.Mass { return &r.Load })},
		{Key: "long_drinking", Name: "A route is too long where people must drink more than", Unit: LitresAnHour, Least: 0.5, Most: 1.4, Step: 0.1, Caution: Lower,
			Source: common + " The military ceiling of 48 oz an hour is 1.4 L.",
			access: figure(func(r *Rules) *unit.Flow { return &r.LongDrinking })},
	}
}

func wayRules() []Rule {
	return []Rule{
		{Key: "daylight_margin", Name: "Everybody is off the trail before sunset by", Unit: Minutes, Least: 0, Most: 240, Step: 15, Caution: Higher,
			Source: common, access: span(time.Minute, func(r *Rules) *time.Duration { return &r.DaylightMargin })},
		{Key: "return_factor", Name: "The way back takes, beside what is hoped", Unit: Times, Least: 1, Most: 2, Step: 0.05, Caution: Higher,
			Source: common, access: figure(func(r *Rules) *unit.Fraction { return &r.ReturnFactor })},
	}
}

func watchRules() []Rule {
	const simulated = "House judgement, in the shape of published two-time trip plans. What it costs was simulated: see the comment of DefaultMargins in package watch."
	return []Rule{
		{Key: "watch_share", Name: "The watch time is when so many ordinary walks are back", Unit: InHundred, Least: 80, Most: 98, Step: 5, Caution: Lower,
			Source: simulated, access: percent(func(r *Rules) *unit.Fraction { return &r.WatchShare })},
		{Key: "widen_after", Name: "From the watch time until asking more widely", Unit: Minutes, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, access: span(time.Minute, func(r *Rules) *time.Duration { return &r.WidenAfter })},
		{Key: "call_after", Name: "From the watch time until the call for help", Unit: Minutes, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, access: span(time.Minute, func(r *Rules) *time.Duration { return &r.CallAfter })},
		{Key: "urgent_after", Name: "The same where heat, a minor or few adults make it urgent", Unit: Minutes, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, access: span(time.Minute, func(r *Rules) *time.Duration { return &r.UrgentAfter })},
	}
}

func afterRules() []Rule {
	const privacy = "House judgement. Local law and the insurer come first; published examples run from one year to seven."
	return []Rule{
		{Key: "debrief", Name: "Staff stay after the finish", Unit: Minutes, Least: 0, Most: 120, Step: 10, Caution: Higher,
			Source: tradeHouse, access: span(time.Minute, func(r *Rules) *time.Duration { return &r.Debrief })},
		{Key: "keep_medical", Name: "Kept after the close: what people tell of their health", Unit: Days, Least: 1, Most: 3650, Step: 7, Caution: Lower,
			Source: privacy, access: span(Day, func(r *Rules) *time.Duration { return &r.KeepMedical })},
		{Key: "keep_plates", Name: "Kept: plates of cars", Unit: Days, Least: 1, Most: 365, Step: 7, Caution: Lower,
			Source: privacy, access: span(Day, func(r *Rules) *time.Duration { return &r.KeepPlates })},
		{Key: "keep_contacts", Name: "Kept: numbers and addresses", Unit: Days, Least: 7, Most: 3650, Step: 30, Caution: Lower,
			Source: privacy, access: span(Day, func(r *Rules) *time.Duration { return &r.KeepContacts })},
		{Key: "keep_names", Name: "Kept: the roll by name, then numbers only", Unit: Days, Least: 30, Most: 3650, Step: 30, Caution: Lower,
			Source: privacy, access: span(Day, func(r *Rules) *time.Duration { return &r.KeepNames })},
		{Key: "keep_waivers", Name: "Kept: consents and waivers of adults", Unit: Days, Least: 365, Most: 9125,
			Source: "House judgement: four years. As counsel says; for minors counted from majority.", access: span(Day, func(r *Rules) *time.Duration { return &r.KeepWaivers })},
		{Key: "keep_incidents", Name: "Kept: reports of incidents", Unit: Days, Least: 365, Most: 9125,
			Source: "Published schedules: seven years.", access: span(Day, func(r *Rules) *time.Duration { return &r.KeepIncidents })},
	}
}

func signInRules() []Rule {
	return []Rule{
		{Key: "second_step", Name: "Coordinators may go without a second step of signing in for", Unit: Days, Least: 0, Most: Amount(secondStepNever / Day), Step: 7, Caution: Lower,
			Source: "House judgement: two weeks hold two weekends. It counts from the day a coordinator is first asked; after it, what only coordinators do waits, and the board does not. At 3650 none is asked for.",
			access: span(Day, func(r *Rules) *time.Duration { return &r.SecondStep })},
	}
}
