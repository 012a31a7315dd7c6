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

// SelfReport is what a person says about themselves when they ask for a place. Nothing in it is
// a diagnosis: a yes to Health only means that there is something to talk about.
type SelfReport struct {
	// Walk is their longest recent walk in figures, and WalkAgo how many days ago it was.
	Walk    Outing `json:"walk"`
	WalkAgo int    `json:"walk_ago,omitempty"`
	// Here is how many days they have been in this climate. LivesHere means longer than the
	// window that counts. From is where they came from.
	Here      int    `json:"here,omitempty"`
	LivesHere bool   `json:"lives_here,omitempty"`
	From      string `json:"from,omitempty"`
	// HotBefore means that they have walked in hot weather before, HeatIll that heat has made
	// them ill, Health that there is something about their health to talk over.
	HotBefore bool `json:"hot_before,omitempty"`
	HeatIll   bool `json:"heat_ill,omitempty"`
	Health    bool `json:"health,omitempty"`
	// Older means that they are of the age from which there is a talk before strenuous hikes.
	Older bool   `json:"older,omitempty"`
	Shoes string `json:"shoes,omitempty"`
	Poles bool   `json:"poles,omitempty"`
	// Drive is how long they drive to the trailhead.
	Drive time.Duration `json:"drive,omitempty"`
}

// TalkOutcome is the result of a screening.
type TalkOutcome string

// The outcomes of a screening.
const (
	Fits           TalkOutcome = "fits"
	TalkAgain      TalkOutcome = "talk first"
	SuggestAnother TalkOutcome = "suggest another"
	Declined       TalkOutcome = "declined"
)

// TalkOutcomes lists the outcomes in the order of the form.
func TalkOutcomes() []TalkOutcome { return []TalkOutcome{Fits, TalkAgain, SuggestAnother, Declined} }

// Screening is the talk before a place is confirmed, and its outcome.
type Screening struct {
	// Talk has the reasons for a talk; it is empty if there is no need for one.
	Talk    []string    `json:"talk,omitempty"`
	Outcome TalkOutcome `json:"outcome,omitempty"`
	// Reason is in neutral words, because the person reads it. Criterion is the one of Criteria
	// that was applied.
	Reason    string    `json:"reason,omitempty"`
	Criterion string    `json:"criterion,omitempty"`
	By        string    `json:"by,omitempty"`
	At        time.Time `json:"at,omitzero"`
	// Answer is what the person wrote back.
	Answer   string    `json:"answer,omitempty"`
	Answered time.Time `json:"answered,omitzero"`
}

// Open reports whether the talk still has to be held.
func (s Screening) Open() bool {
	return len(s.Talk) > 0 && s.Outcome == "" || s.Outcome == TalkAgain
}

// Criteria returns the criteria a talk may apply. They were written beforehand, are the same
// for everybody, and are about what people can do, never about age, disability or weight as
// such.
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

// Questions returns open questions for a talk: what people did says more than what they think
// of themselves. Common practice, after screening questions of hiking clubs.
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

// walkWindow is how many days back a walk counts: eight weeks. Our judgment, after what clubs
// ask.
const walkWindow = 56

// TalkFirst lists the reasons for a talk before a place is confirmed, in words that both the
// person and the leader read. An empty list means that the place may be confirmed at once. An
// unknown figure is a reason, because missing data does not mean that all is well. The plan may
// be nil.
func TalkFirst(s SignUp, t trail.Trail, p *plan.Plan, r rules.Rules) []string {
	var why []string
	add := func(holds bool, reason string) {
		if holds {
			why = append(why, reason)
		}
	}
	evidence := s.WalkSpeaksFor(t)
	add(!evidence,
		fmt.Sprintf("No walk of the last eight weeks had at least %.1f km and %.0f m of climb, which is 60 %% of "+
			"this one.",
			RecentWalk(t.Profile.Length).Kilometres(), RecentWalk(t.Profile.Ascent).Metres()))
	add(s.SelfReport.HeatIll, "Heat has made them ill before.")
	add(s.SelfReport.Health, "There is something about their health to talk over.")
	add(s.newToHeat(p), "The heat of this area is new to them.")
	add(s.Minor, "They are under age: the talk is with the guardian and the adult who brings them.")
	add(s.SelfReport.Older && !evidence && strenuous(t),
		fmt.Sprintf("From the age of %d a strenuous hike asks for a like walk lately.", r.TalkFrom))
	return why
}

// WalkSpeaksFor reports whether a recent walk had at least 60 % of the trail's distance and
// climb.
func (s SignUp) WalkSpeaksFor(t trail.Trail) bool {
	w := s.SelfReport.Walk
	return w.Distance > 0 && s.SelfReport.WalkAgo <= walkWindow && w.Distance >= RecentWalk(t.Profile.Length) &&
		w.Ascent >= RecentWalk(t.Profile.Ascent)
}

// newToHeat reports whether the heat is new to the person: they never walked in heat, or came
// too recently to be used to this climate. On a day that is known not to be hot it does not
// matter.
func (s SignUp) newToHeat(p *plan.Plan) bool {
	if p != nil && p.Heat.PeakAir < warmDay {
		return false
	}
	return !s.SelfReport.HotBefore || !s.SelfReport.LivesHere && s.SelfReport.Here < hotWindow
}

// strenuous reports whether the trail is of class Strenuous or harder.
func strenuous(t trail.Trail) bool {
	all := trail.Classes()
	class := track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest).Class
	return slices.Index(all, class) >= slices.Index(all, track.Strenuous)
}

// Screen records the outcome of a talk. If the person fits, they get the place that was held
// for them, or else wait. A refusal needs a criterion and a reason in neutral words.
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

// follow changes the state of the sign-up according to the outcome.
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

// AnswerBack stores what a person replies to an outcome. The leader reads it and may reopen the
// talk.
func (s *SignUp) AnswerBack(answer string, now time.Time) error {
	v := fault.Invalid{}
	v.Require("answer", answer, 2000, "Write what the leader should know.")
	if err := v.Err(); err != nil {
		return err
	}
	s.Screening.Answer, s.Screening.Answered = text.Paragraph(answer), now
	return nil
}

// MostSuggested is how many other hikes are suggested. Our judgment: three to choose from help,
// more are a list.
const MostSuggested = 3

// UsedTo reports whether the steps for newcomers let a person spend the whole planned walk in
// heat. Without a plan, only people to whom heat is not new may.
func (s SignUp) UsedTo(p *plan.Plan) bool {
	if p == nil {
		return !s.newToHeat(nil)
	}
	r := ReadinessOf(s, *p)
	return r.HeatCap == 0 || p.Time.P90.Duration() <= r.HeatCap
}

// WalkWords describes the longest recent walk in one line, with figures if they were given.
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

// checkSelfReport checks the figures. Our judgment for the bounds: nobody walks more.
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
