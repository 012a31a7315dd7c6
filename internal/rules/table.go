package rules

import (
	"slices"

	"saltbush/internal/unit"
)

// Sources that several rules share. Settings pages show them.
const (
	tradeHouse = "House judgement, after how clubs work."
	common     = "Common practice of the trade, no source."
	simulated  = "House judgement, in the shape of published two-time trip plans. What it costs was simulated: see " +
		"the comment of DefaultMargins in package watch."
	privacy = "House judgement. Local law and the insurer come first; published examples run from one year to seven."
)

// table lists every rule in the order of the settings page. It is read only.
var table = slices.Concat(
	group("People and staff", []Rule{
		{Key: "ratio", Name: "Participants for each of the staff", Unit: People,
			Default: 8, Least: 3, Most: 15, Step: 1, Caution: Lower,
			Source: tradeHouse +
				" Eight on rough, hot or strenuous ground; clubs' texts run from 8 to 25 on easy loops.",
			field: func(r *Rules) any { return &r.Ratio }},
		{Key: "fewest_staff", Name: "Fewest staff of a party", Unit: People,
			Default: leastStaff, Least: leastStaff, Most: 6, Step: 1, Caution: Higher,
			Source: "Clubs' leader texts: never fewer than two, and the tail always named.",
			field:  func(r *Rules) any { return &r.FewestStaff }},
		{Key: "minors_per_adult", Name: "Minors for each responsible adult", Unit: People,
			Default: 3, Least: 1, Most: 6, Step: 1, Caution: Lower,
			Source: "A mountain club's youth participation text: not more than three.",
			field:  func(r *Rules) any { return &r.MinorsPerAdult }},
		{Key: "youngest_alone", Name: "Comes without a guardian's consent from the age of", Unit: Years,
			Default: 18, Least: 16, Most: 21, Step: 1, Caution: Higher,
			Source: "Common practice: 18, the age of majority in most places. Law comes first.",
			field:  func(r *Rules) any { return &r.YoungestAlone }},
		{Key: "talk_from", Name: "On a strenuous hike, a talk first from the age of", Unit: Years,
			Default: 70, Least: 50, Most: 90, Step: 5, Caution: Lower,
			Source: tradeHouse + " Over 70 without recent evidence.", field: func(r *Rules) any { return &r.TalkFrom }},
	}),
	group("Before the day", []Rule{
		{Key: "decision_lead", Name: "The go decision is due before the start", Unit: Hours,
			Default: 18, Least: 8, Most: 48, Step: 2, Caution: Higher,
			Source: tradeHouse + " A fixed hour, so that people can sleep.",
			field:  func(r *Rules) any { return &r.DecisionLead }},
		{Key: "chase_after", Name: "Who has not said that they read it is reminded after", Unit: Hours,
			Default: 4, Least: 1, Most: 12, Step: 1, Caution: Lower,
			Source: "House judgement: an evening's mail is read in four hours or not at all.",
			field:  func(r *Rules) any { return &r.ChaseAfter }},
		{Key: "chase_before", Name: "and at the latest before the meeting time", Unit: Hours,
			Default: 6, Least: 2, Most: 14, Step: 1, Caution: Higher,
			Source: "House judgement: before people set out; later than this, telephone.",
			field:  func(r *Rules) any { return &r.ChaseBefore }},
		{Key: "grace", Name: "A party waits for the late", Unit: Minutes,
			Default: 10, Least: 0, Most: 30, Step: 5, Caution: Lower,
			Source: tradeHouse + " The published grace; fourteen people do not wait for one.",
			field:  func(r *Rules) any { return &r.Grace }},
		{Key: "sign_up_cut_off", Name: "Places close before the meeting time", Unit: Hours,
			Default: 0, Least: 0, Most: 168, Step: 6, Caution: Higher,
			Source: "House judgement: a place may be taken until people meet; a house that talks to everybody " +
				"first needs longer.",
			field: func(r *Rules) any { return &r.SignUpCutOff }},
		{Key: "hold", Name: "A half-done sign-up keeps its place", Unit: Hours,
			Default: 48, Least: 6, Most: 168,
			Source: tradeHouse + " Two days, then it is offered on.", field: func(r *Rules) any { return &r.Hold }},
	}),
	group("Scout report", []Rule{
		{Key: "scout_wet", Name: "A scout report stands, in the storm season", Unit: Days,
			Default: 30, Least: 7, Most: 60, Step: 5, Caution: Lower,
			Source: tradeHouse + " One flood remakes a wash.", field: func(r *Rules) any { return &r.ScoutWet }},
		{Key: "scout_dry", Name: "and in the rest of the year", Unit: Days,
			Default: 90, Least: 14, Most: 180, Step: 15, Caution: Lower,
			Source: tradeHouse, field: func(r *Rules) any { return &r.ScoutDry }},
		{Key: "storm_first", Name: "The storm season begins with", Unit: CalendarMon,
			Default: 6, Least: 1, Most: 12,
			Source: "US National Weather Service: the monsoon season of the Southwest is 15 June to 30 " +
				"September. Whole months.",
			field: func(r *Rules) any { return &r.StormFirst }},
		{Key: "storm_last", Name: "and ends with", Unit: CalendarMon,
			Default: 9, Least: 1, Most: 12,
			Source: "The same.", field: func(r *Rules) any { return &r.StormLast }},
	}),
	group("Heat", []Rule{
		{Key: "shorter_from", Name: "Ladder, shorter or earlier: felt from", Unit: Degrees,
			Default: fahrenheit(85), Least: 18, Most: 35, Step: 1, Caution: Lower,
			Source: "House judgement: 85 F, between the 80 F at which workplace rules want shade (California " +
				"Title 8 s.3395) and 95 F.",
			field: func(r *Rules) any { return &r.Ladder.ShorterFrom }},
		{Key: "short_only_from", Name: "Ladder, short only: felt from", Unit: Degrees,
			Default: fahrenheit(95), Least: 22, Most: 40, Step: 1, Caution: Lower,
			Source: "House judgement: 95 F, where workplace rules call for extra procedures (California Title " +
				"8 s.3395).",
			field: func(r *Rules) any { return &r.Ladder.ShortOnlyFrom }},
		{Key: "cancel_from", Name: "Ladder, cancel: felt from", Unit: Degrees,
			Default: fahrenheit(100), Least: 25, Most: 43, Step: 1, Caution: Lower,
			Source: "House judgement: 100 F, above which agencies advise against walking on low flats.",
			field:  func(r *Rules) any { return &r.Ladder.CancelFrom }},
		{Key: "full_sun", Name: "Full sun adds to what is felt in shade", Unit: DegreesMore,
			Default: fahrenheitMore(15), Least: 0, Most: 12, Step: 1, Caution: Higher,
			Source: "US National Weather Service, heat index note: up to 15 F.",
			field:  func(r *Rules) any { return &r.Ladder.FullSun }},
		{Key: "hot_day", Name: "The urgent wait holds from an air temperature of", Unit: Degrees,
			Default: fahrenheit(95), Least: 25, Most: 40, Step: 1, Caution: Lower,
			Source: "House judgement: 95 F, as above.", field: func(r *Rules) any { return &r.HotDay }},
		{Key: "forecast_error", Name: "A day may turn out hotter than forecast by", Unit: DegreesMore,
			Default: fahrenheitMore(5), Least: 0, Most: 8, Step: 0.5, Caution: Higher,
			Source: tradeHouse + " 5 F at the decision hour, where the forecast is not corrected for the site.",
			field:  func(r *Rules) any { return &r.ForecastError }},
	}),
	group("Water and load", []Rule{
		{Key: "body_mass", Name: "Body of the adult that water and food are worked out for", Unit: Kilograms,
			Default: 75, Least: 50, Most: 120, Step: 5, Caution: Higher,
			Source: "The reference adult of ISO 7933 weighs 75 kg, from memory.",
			field:  func(r *Rules) any { return &r.BodyMass }},
		{Key: "load", Name: "and of their pack", Unit: Kilograms,
			Default: 8, Least: 2, Most: 25, Step: 1, Caution: Higher,
			Source: "House judgement: 4 L of water and 4 kg of kit.", field: func(r *Rules) any { return &r.Load }},
		{Key: "long_drinking", Name: "A route is too long where people must drink more than", Unit: LitresAnHour,
			Default: 1, Least: 0.5, Most: 1.4, Step: 0.1, Caution: Lower,
			Source: common + " The military ceiling of 48 oz an hour is 1.4 L.",
			field:  func(r *Rules) any { return &r.LongDrinking }},
	}),
	group("Daylight and the way back", []Rule{
		{Key: "daylight_margin", Name: "Everybody is off the trail before sunset by", Unit: Minutes,
			Default: 60, Least: 0, Most: 240, Step: 15, Caution: Higher,
			Source: common, field: func(r *Rules) any { return &r.DaylightMargin }},
		{Key: "return_factor", Name: "The way back takes, beside what is hoped", Unit: Times,
			Default: 1.25, Least: 1, Most: 2, Step: 0.05, Caution: Higher,
			Source: common, field: func(r *Rules) any { return &r.ReturnFactor }},
	}),
	// Our judgment on the bounds: below P80 one walk in five raises an alarm, above P98 the spread of the plan is a
	// guess. Ten minutes are one round of phone calls, and nobody should still be only asking after three hours.
	group("Watch", []Rule{
		{Key: "watch_share", Name: "The watch time is when so many ordinary walks are back", Unit: InHundred,
			Default: 90, Least: 80, Most: 98, Step: 5, Caution: Lower,
			Source: simulated, field: func(r *Rules) any { return &r.WatchShare }},
		{Key: "widen_after", Name: "From the watch time until asking more widely", Unit: Minutes,
			Default: 30, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, field: func(r *Rules) any { return &r.WidenAfter }},
		{Key: "call_after", Name: "From the watch time until the call for help", Unit: Minutes,
			Default: 60, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, field: func(r *Rules) any { return &r.CallAfter }},
		{Key: "urgent_after", Name: "The same where heat, a minor or few adults make it urgent", Unit: Minutes,
			Default: 30, Least: 10, Most: 180, Step: 10, Caution: Lower,
			Source: simulated, field: func(r *Rules) any { return &r.UrgentAfter }},
	}),
	group("After the hike", []Rule{
		{Key: "debrief", Name: "Staff stay after the finish", Unit: Minutes,
			Default: 20, Least: 0, Most: 120, Step: 10, Caution: Higher,
			Source: tradeHouse, field: func(r *Rules) any { return &r.Debrief }},
		{Key: "keep_medical", Name: "Kept after the close: what people tell of their health", Unit: Days,
			Default: 14, Least: 1, Most: 3650, Step: 7, Caution: Lower,
			Source: privacy, field: func(r *Rules) any { return &r.KeepMedical }},
		{Key: "keep_plates", Name: "Kept: plates of cars", Unit: Days,
			Default: 14, Least: 1, Most: 365, Step: 7, Caution: Lower,
			Source: privacy, field: func(r *Rules) any { return &r.KeepPlates }},
		{Key: "keep_contacts", Name: "Kept: numbers and addresses", Unit: Days,
			Default: 90, Least: 7, Most: 3650, Step: 30, Caution: Lower,
			Source: privacy, field: func(r *Rules) any { return &r.KeepContacts }},
		{Key: "keep_names", Name: "Kept: the roll by name, then numbers only", Unit: Days,
			Default: 365, Least: 30, Most: 3650, Step: 30, Caution: Lower,
			Source: privacy, field: func(r *Rules) any { return &r.KeepNames }},
		{Key: "keep_waivers", Name: "Kept: consents and waivers of adults", Unit: Days,
			Default: 4 * 365, Least: 365, Most: 9125,
			Source: "House judgement: four years. As counsel says; for minors counted from majority.",
			field:  func(r *Rules) any { return &r.KeepWaivers }},
		{Key: "keep_incidents", Name: "Kept: reports of incidents", Unit: Days,
			Default: 7 * 365, Least: 365, Most: 9125,
			Source: "Published schedules: seven years.", field: func(r *Rules) any { return &r.KeepIncidents }},
	}),
	group("Signing in", []Rule{
		{Key: "second_step", Name: "Coordinators may go without a second step of signing in for", Unit: Days,
			Default: 14, Least: 0, Most: Amount(secondStepNever / Day), Step: 7, Caution: Lower,
			Source: "House judgement: two weeks hold two weekends. It counts from the day a coordinator is " +
				"first asked; after it, what only coordinators do waits, and the board does not. At 3650 " +
				"none is asked for.",
			field: func(r *Rules) any { return &r.SecondStep }},
	}),
)

// group puts rules under a heading.
func group(name string, rules []Rule) []Rule {
	for i := range rules {
		rules[i].Group = name
	}
	return rules
}

func fahrenheit(f float64) Amount { return Amount(unit.Fahrenheit(f)) }

// fahrenheitMore is a difference of temperatures.
func fahrenheitMore(f float64) Amount { return Amount(unit.Fahrenheit(f) - unit.Fahrenheit(0)) }
