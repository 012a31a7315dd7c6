package signup

import (
	"fmt"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/rules"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// SelfReport is what a person tells of themselves when they ask for a place. Nothing in it is a
// diagnosis: a yes to Health only says that there is something to talk about.
type SelfReport struct {
	// Walk is the longest walk lately in figures, WalkAgo how many days ago it was.
	Walk    Outing `json:"walk"`
	WalkAgo int    `json:"walk_ago,omitempty"`
	// Here is for how many days they have been in this climate; LivesHere says longer than
	// the window that counts. From is where they came from.
	Here      int    `json:"here,omitempty"`
	LivesHere bool   `json:"lives_here,omitempty"`
	From      string `json:"from,omitempty"`
	// HotBefore says that they have walked in hot weather before, HeatIll that heat has made
	// them ill, Health that there is something about their health to talk over.
	HotBefore bool `json:"hot_before,omitempty"`
	HeatIll   bool `json:"heat_ill,omitempty"`
	Health    bool `json:"health,omitempty"`
	// Older says that they are of the age from which there is a talk on strenuous hikes.
	Older bool   `json:"older,omitempty"`
	Shoes string `json:"shoes,omitempty"`
	Poles bool   `json:"poles,omitempty"`
	// Drive is how long they drive to the trailhead.
	Drive time.Duration `json:"drive,omitempty"`
}

// TalkOutcome is what a screening came to.
type TalkOutcome string

// The outcomes of a screening.
const (
	Fits           TalkOutcome = "fits"
	TalkAgain      TalkOutcome = "talk first"
	SuggestAnother TalkOutcome = "suggest another"
	Declined       TalkOutcome = "declined"
)

// TalkOutcomes lists them in the order of the form.
func TalkOutcomes() []TalkOutcome { return []TalkOutcome{Fits, TalkAgain, SuggestAnother, Declined} }

// Screening is the talk before a place is confirmed, and what came of it.
type Screening struct {
	// Talk is why there is a talk first; empty where there is none to have.
	Talk    []string    `json:"talk,omitempty"`
	Outcome TalkOutcome `json:"outcome,omitempty"`
	// Reason is neutral words that the person reads, Criterion what it was measured by.
	Reason    string    `json:"reason,omitempty"`
	Criterion string    `json:"criterion,omitempty"`
	By        string    `json:"by,omitempty"`
	At        time.Time `json:"at,omitzero"`
	// Answer is what the person wrote back.
	Answer   string    `json:"answer,omitempty"`
	Answered time.Time `json:"answered,omitzero"`
}

// Open reports whether a talk is still to be had.
func (s Screening) Open() bool {
	return len(s.Talk) > 0 && s.Outcome == "" || s.Outcome == TalkAgain
}

// Criteria are about doing, the same for all and written beforehand: never about age,
// disability or weight as such.
func Criteria() []string {
	return []string{
		"has walked 60 % of this distance and climb in the last eight weeks",
		"can carry the water that the plan asks for",
		"is used to this heat, or keeps to the time in it that the steps allow",
		"can follow instructions and keep to the pace of the group",
		"keeps and uses their own medicine",
		"wears shoes for this ground",
	}
}

// Questions are open ones: what people did tells more than what they think of themselves.
// Common practice of the trade, after screening questions of hiking clubs.
func Questions() []string {
	return []string{
		"What have you walked lately, how long did it take, and how did you feel after?",
		"What do you know of walking in heat, and what did it do to you?",
		"What do you carry on such a day: water, shoes, hat, food?",
		"What do you hope for on this hike, and what would spoil it?",
		"Is there anything that we should do, or keep from doing, so that you walk well? No diagnosis needed.",
		"What will you do when you feel that it is too much?",
	}
}

// The window in which a walk speaks for the next: eight weeks. House judgement, after how
// clubs ask.
const walkWindow = 56

// TalkFirst lists why there is a talk before a place is confirmed, in words that the
// person and the leader both read; none where the place may be confirmed at once. A figure
// that is not known is a reason: no data is not green. The plan may be nil.
func TalkFirst(s SignUp, t trail.Trail, p *plan.Plan, r rules.Rules) []string {
	var why []string
	add := func(holds bool, reason string) {
		if holds {
			why = append(why, reason)
		}
	}
	evidence := s.WalkSpeaksFor(t)
	add(!evidence, fmt.Sprintf("No walk of the last eight weeks had at least %.1f km and %.0f m of climb, which is 60 %% of this one.",
		RecentWalk(t.Profile.Length).Kilometres(), RecentWalk(t.Profile.Ascent).Metres()))
	add(s.SelfReport.HeatIll, "Heat has made them ill before.")
	add(s.SelfReport.Health, "There is something about their health to talk over.")
	add(s.newToHeat(p), "The heat of this area is new to them.")
	add(s.Minor, "They are under age: the talk is with the guardian and the adult who brings them.")
	add(s.SelfReport.Older && !evidence && strenuous(t), fmt.Sprintf("From the age of %d a strenuous hike asks for a like walk lately.", r.TalkFrom))
	return why
}

// WalkSpeaksFor reports whether a recent walk had 60 % of the trail's distance and climb.
func (s SignUp) WalkSpeaksFor(t trail.Trail) bool {
	w := s.SelfReport.Walk
	return w.Distance > 0 && s.SelfReport.WalkAgo <= walkWindow && w.Distance >= RecentWalk(t.Profile.Length) && w.Ascent >= RecentWalk(t.Profile.Ascent)
}

// newToHeat asks nothing on a day that is known not to be hot. Elsewhere the heat is new to
// whoever came within the days that it takes to get used to it, or never walked in it.
func (s SignUp) newToHeat(p *plan.Plan) bool {
	if p != nil && p.Heat.PeakAir < warmDay {
		return false
	}
	return !s.SelfReport.HotBefore || !s.SelfReport.LivesHere && s.SelfReport.Here < hotWindow
}

// strenuous compares the class by the published number.
func strenuous(t trail.Trail) bool {
	all := trail.Classes()
	class := track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest).Class
	return slices.Index(all, class) >= slices.Index(all, track.Strenuous)
}

// Screen records the outcome of a talk. A person who fits has the place that was held for
// them, and else waits; a refusal names the criterion and is told in neutral words.
func (s *SignUp) Screen(to Screening, now time.Time) error {
	if s.State == Withdrawn {
		return fault.Refusal("This person has withdrawn; there is nothing to decide.")
	}
	v := fault.Invalid{}
	if !slices.Contains(TalkOutcomes(), to.Outcome) {
		v.Add("outcome", "Choose what the talk came to.")
	}
	if to.Outcome == Declined || to.Outcome == SuggestAnother {
		v.Require("reason", to.Reason, 500, "Say why, in neutral words: the person reads it.")
		if !slices.Contains(Criteria(), to.Criterion) {
			v.Add("criterion", "Choose the criterion: it is the same for all.")
		}
	}
	if err := v.Err(); err != nil {
		return err
	}
	to.Talk, to.Answer, to.Answered = s.Screening.Talk, s.Screening.Answer, s.Screening.Answered
	to.At, s.Screening = now, to
	s.follow(now)
	return nil
}

// follow moves the place to where the outcome puts it.
func (s *SignUp) follow(now time.Time) {
	switch {
	case s.Screening.Outcome == Declined || s.Screening.Outcome == SuggestAnother:
		s.State, s.Because, s.HeldUntil = TurnedAway, s.Screening.Reason, time.Time{}
	case s.Screening.Outcome == TalkAgain && s.State == TurnedAway:
		s.State, s.Because = Asked, ""
	case s.Screening.Outcome == TalkAgain && s.State != Confirmed:
		s.State = Asked
	case s.Screening.Outcome == Fits && s.State != Confirmed && s.HoldsPlace(now):
		s.State, s.Because, s.HeldUntil = Confirmed, "", time.Time{}
	case s.Screening.Outcome == Fits && s.State != Confirmed:
		s.State, s.Because, s.HeldUntil = Waiting, "", time.Time{}
	}
}

// AnswerBack keeps what a person says to an outcome; the leader reads it and may open the
// talk again.
func (s *SignUp) AnswerBack(answer string, now time.Time) error {
	v := fault.Invalid{}
	v.Require("answer", answer, 2000, "Write what the leader should know.")
	if err := v.Err(); err != nil {
		return err
	}
	s.Screening.Answer, s.Screening.Answered = text.Paragraph(answer), now
	return nil
}

// House judgement: three hikes to choose from are help, more are a list.
const MostSuggested = 3

// UsedTo reports whether a person may spend the whole walk in the heat of the day by the
// steps for newcomers. A day without a plan speaks for nobody who is new to heat.
func (s SignUp) UsedTo(p *plan.Plan) bool {
	if p == nil {
		return !s.newToHeat(nil)
	}
	r := ReadinessOf(s, *p)
	return r.HeatCap == 0 || p.Time.P90.Duration() <= r.HeatCap
}

// WalkWords is the longest walk lately in one line, with figures where they were given.
func (s SignUp) WalkWords(metric bool) string {
	w := s.SelfReport.Walk
	if w.Distance <= 0 {
		return s.LongestWalk
	}
	words := fmt.Sprintf("%.1f km, %.0f m of climb", w.Distance.Kilometres(), w.Ascent.Metres())
	if !metric {
		words = fmt.Sprintf("%.1f mi, %.0f ft of climb", w.Distance.Miles(), w.Ascent.Feet())
	}
	if w.Took > 0 {
		words += ", " + spell(w.Took)
	}
	return fmt.Sprintf("%s, %s ago. %s", words, format.Count(s.SelfReport.WalkAgo, "day", "days"), s.LongestWalk)
}

// checkSelfReport notes figures that nobody can have walked. House judgement for the bounds.
func checkSelfReport(v fault.Invalid, t SelfReport) {
	w := t.Walk
	if w.Distance < 0 || w.Distance > 200*unit.Kilometre {
		v.Add("walk_distance", "Give how far it was, such as 8.")
	}
	if w.Ascent < 0 || w.Ascent > 8000*unit.Metre {
		v.Add("walk_climb", "Give how much it climbed, such as 200; 0 for level ground.")
	}
	if w.Took < 0 || w.Took > 48*time.Hour {
		v.Add("walk_hours", "Give how many hours it took, such as 2.5.")
	}
	if t.WalkAgo < 0 || t.WalkAgo > 3650 {
		v.Add("walk_ago", "Give how many weeks ago it was.")
	}
	if t.Here < 0 || t.Here > 365 {
		v.Add("here", "Give a number of days.")
	}
	v.AtMost("from", t.From, 200)
	v.Require("shoes", t.Shoes, 200, "Say what shoes you walk in.")
	if t.Drive < 0 || t.Drive > 24*time.Hour {
		v.Add("drive", "Give how many minutes you drive to the trailhead.")
	}
}
