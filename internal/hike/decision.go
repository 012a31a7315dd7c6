package hike

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/text"
)

// Outcome is the kind of a decision. People read its text.
type Outcome string

// The outcomes, each more cautious than those before it.
const (
	Goes        Outcome = "go"
	GoesLater   Outcome = "later"
	GoesEarlier Outcome = "earlier"
	GoesShorter Outcome = "shorter"
	OtherTrail  Outcome = "other trail"
	DoesNotGo   Outcome = "called off"
)

// Outcomes lists every outcome, the most cautious last.
func Outcomes() []Outcome {
	return []Outcome{Goes, GoesLater, GoesEarlier, GoesShorter, OtherTrail, DoesNotGo}
}

// TowardRisk reports whether an outcome is less cautious than another.
func (o Outcome) TowardRisk(than Outcome) bool {
	return slices.Index(Outcomes(), o) < slices.Index(Outcomes(), than)
}

// Decision is the decision whether and how a hike goes. Reason is required if it goes against
// the plan's verdict, or is less cautious than an earlier decision.
type Decision struct {
	Go      bool
	Outcome Outcome `json:",omitempty"`
	By      string
	At      time.Time
	Reason  string
	// Change says what is different: the new start, where to turn back, the trail.
	Change string `json:",omitempty"`
	// Plan is the ID of the stored plan it was based on, 0 for none. Verdict is what that plan
	// said, Official the official heat level and warnings.
	Plan     int64         `json:",omitempty"`
	Verdict  plan.Decision `json:",omitempty"`
	Official string        `json:",omitempty"`
}

// Made reports whether anything was decided.
func (d Decision) Made() bool { return !d.At.IsZero() }

// DecidedWords say who decided that the hike goes and when, "" if nobody did. Early means that it was
// decided more than a day before the start, on an older forecast. Our judgment.
func (h Hike) DecidedWords() (words string, early bool) {
	d := h.Decision
	if !d.Made() || d.What() == DoesNotGo {
		return "", false
	}
	words = d.Says() + " " + d.By + ", " + format.Moment(d.At, h.Start.Location()) + "."
	return words, d.At.Before(h.Start.Add(-decisionNear))
}

// What returns the outcome. Decisions stored before there were outcomes mean Goes.
func (d Decision) What() Outcome {
	if d.Outcome == "" && d.Go {
		return Goes
	}
	return d.Outcome
}

// Figures are what a decision is based on.
type Figures struct {
	Plan     int64
	Verdict  plan.Decision // "" without a plan
	Official string
}

// Choice is a decision as somebody submits it.
type Choice struct {
	Outcome Outcome
	By      string
	At      time.Time
	Reason  string
	On      Figures
	// Start is the new start for GoesEarlier and GoesLater, Turn where GoesShorter turns back,
	// Trail the trail for OtherTrail.
	Start time.Time
	Turn  Turn
	Trail Swap
}

// As returns the hike as the choice would change it.
func (h Hike) As(c Choice) (Hike, error) {
	if c.Outcome == DoesNotGo {
		return h, nil
	}
	_, err := h.apply(c)
	return h, err
}

// WalksLike reports whether another version of the hike goes at the same time, on the same
// trail and as far, so that the same plan holds.
func (h Hike) WalksLike(other Hike) bool {
	return h.Start.Equal(other.Start) && h.Trail == other.Trail && h.Turn == other.Turn
}

// Choose makes the decision. It needs a written reason if it goes against the plan's verdict,
// if there is no plan, or if it is less cautious than the decision before. A more cautious
// decision needs none.
func (h *Hike) Choose(c Choice) error {
	if c.Outcome == DoesNotGo {
		return h.callOff(c)
	}
	if h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s; a decision is taken on a posted hike.", h.State))
	}
	if err := h.reasonFor(c); err != nil {
		return err
	}
	change, err := h.apply(c)
	if err != nil {
		return err
	}
	h.Decision = Decision{Go: true, Outcome: c.Outcome, By: c.By, At: c.At, Reason: c.Reason, Change: change,
		Plan: c.On.Plan, Verdict: c.On.Verdict, Official: c.On.Official}
	return nil
}

// Decide makes the decision that the hike goes as planned.
func (h *Hike) Decide(by string, at time.Time, verdict plan.Decision, reason string) error {
	return h.Choose(Choice{Outcome: Goes, By: by, At: at, Reason: reason, On: Figures{Verdict: verdict}})
}

// reasonFor checks that there is a reason where one is needed.
func (h Hike) reasonFor(c Choice) error {
	v := fault.Invalid{}
	switch {
	case !text.Empty(c.Reason):
		v.AtMost("reason", c.Reason, 1000)
	case c.On.Verdict != plan.Go:
		v.Add("reason", "The plan does not say go. To go all the same, write down why; it is kept.")
	case h.Decision.Made() && c.Outcome.TowardRisk(h.Decision.What()):
		v.Add("reason", fmt.Sprintf("It was decided: %s. To be less cautious than that, write down why; it is kept.",
			h.Decision.What()))
	}
	return v.Err()
}

// apply changes the hike according to the choice and says what is different.
func (h *Hike) apply(c Choice) (string, error) {
	v := fault.Invalid{}
	switch c.Outcome {
	case Goes:
		h.Turn = Turn{}
		return "", nil
	case GoesEarlier, GoesLater:
		return h.move(c)
	case GoesShorter:
		switch {
		case !c.Turn.Made():
			v.Add("turn", "Say where it turns back.")
		case h.Turn.Made() && c.Turn.Along >= h.Turn.Along:
			v.Add("turn", "It already turns back at "+h.Turn.Where()+". Choose a place nearer the start.")
		default:
			h.Turn = c.Turn
		}
		return "it turns back at " + c.Turn.Where(), v.Err()
	case OtherTrail:
		h.Turn = Turn{}
		return h.swap(c.Trail)
	}
	return "", fault.Refusal("Nothing like that can be decided.")
}

// move moves the start, and the meeting time with it.
func (h *Hike) move(c Choice) (string, error) {
	by := c.Start.Sub(h.Start)
	fits, wrong := by < 0, "Choose an earlier start that day that is still to come."
	if c.Outcome == GoesLater {
		fits, wrong = by > 0, "Choose a later start that day."
	}
	if !fits || by.Abs() > 12*time.Hour || c.Start.Before(c.At) {
		return "", fault.Invalid{"start": wrong}
	}
	h.Meet, h.Start = h.Meet.Add(by), c.Start
	return fmt.Sprintf("meet at %s, walk from %s", h.Meet.Format("15:04"), h.Start.Format("15:04")), nil
}

// callOff ends the hike with its decision. It cannot be undone.
func (h *Hike) callOff(c Choice) error {
	if err := h.CallOff(c.Reason); err != nil {
		return err
	}
	h.Decision = Decision{Outcome: DoesNotGo, By: c.By, At: c.At, Reason: c.Reason,
		Plan: c.On.Plan, Verdict: c.On.Verdict, Official: c.On.Official}
	return nil
}

// Says is the decision in a sentence, for the people who are told.
func (d Decision) Says() string {
	switch d.What() {
	case Goes:
		return "It goes as planned."
	case GoesEarlier:
		return "It goes, earlier: " + d.Change + "."
	case GoesLater:
		return "It goes, later: " + d.Change + "."
	case GoesShorter:
		return "It goes, shorter: " + d.Change + "."
	case OtherTrail:
		return "It goes on another trail: " + d.Change + "."
	case DoesNotGo:
		return "It is called off. Please do not come to the trailhead, and do not walk it as a group without a leader."
	}
	return ""
}

// WhyCalledOff returns why the hike is called off, as a sentence.
func (h Hike) WhyCalledOff() string {
	why := strings.TrimSpace(h.CalledOffBecause)
	if why == "" || strings.ContainsAny(why[len(why)-1:], ".!?") {
		return why
	}
	return why + "."
}
