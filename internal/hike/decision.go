package hike

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/plan"
	"saltbush/internal/text"
)

// Outcome is what was decided about a hike, in words that people see.
type Outcome string

// The outcomes, each more cautious than those before it.
const (
	Goes        Outcome = "go"
	GoesEarlier Outcome = "earlier"
	GoesShorter Outcome = "shorter"
	OtherTrail  Outcome = "other trail"
	DoesNotGo   Outcome = "called off"
)

// Outcomes lists every outcome, from risk to caution.
func Outcomes() []Outcome { return []Outcome{Goes, GoesEarlier, GoesShorter, OtherTrail, DoesNotGo} }

// TowardRisk reports whether an outcome is less cautious than another.
func (o Outcome) TowardRisk(than Outcome) bool {
	return slices.Index(Outcomes(), o) < slices.Index(Outcomes(), than)
}

// Decision is the go decision, with a written reason where it goes against the plan's
// verdict or an earlier decision toward risk.
type Decision struct {
	Go      bool
	Outcome Outcome `json:",omitempty"`
	By      string
	At      time.Time
	Reason  string
	// Change says what is different: the new start, the place to turn at, the trail.
	Change string `json:",omitempty"`
	// Plan is the number of the stored plan that it was taken on, 0 where there was none,
	// Verdict what that plan said, and Official the official heat level and warnings.
	Plan     int64         `json:",omitempty"`
	Verdict  plan.Decision `json:",omitempty"`
	Official string        `json:",omitempty"`
}

// Made reports whether anything has been decided.
func (d Decision) Made() bool { return !d.At.IsZero() }

// What returns the outcome; a decision made before outcomes were kept says go.
func (d Decision) What() Outcome {
	if d.Outcome == "" && d.Go {
		return Goes
	}
	return d.Outcome
}

// Figures are what a decision is taken on.
type Figures struct {
	Plan     int64
	Verdict  plan.Decision // "" without a plan
	Official string
}

// Choice is a decision as somebody makes it.
type Choice struct {
	Outcome Outcome
	By      string
	At      time.Time
	Reason  string
	On      Figures
	// Start is the new start of one that goes earlier, Turn where one that goes shorter
	// turns back, Trail the other trail.
	Start time.Time
	Turn  string
	Trail Swap
}

// Choose takes the decision. Against the plan's verdict, without a plan, or less cautious
// than what was decided before, it needs a written reason; toward caution none is asked.
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

// Decide is the choice that the hike goes as it stands, on what a plan says.
func (h *Hike) Decide(by string, at time.Time, verdict plan.Decision, reason string) error {
	return h.Choose(Choice{Outcome: Goes, By: by, At: at, Reason: reason, On: Figures{Verdict: verdict}})
}

// reasonFor asks for a reason toward risk.
func (h Hike) reasonFor(c Choice) error {
	v := fault.Invalid{}
	switch {
	case !text.Empty(c.Reason):
		v.AtMost("reason", c.Reason, 1000)
	case c.On.Verdict != plan.Go:
		v.Add("reason", "The plan does not say go. To go all the same, write down why; it is kept.")
	case h.Decision.Made() && c.Outcome.TowardRisk(h.Decision.What()):
		v.Add("reason", fmt.Sprintf("It was decided: %s. To be less cautious than that, write down why; it is kept.", h.Decision.What()))
	}
	return v.Err()
}

// apply makes the hike what was decided and says what is different.
func (h *Hike) apply(c Choice) (string, error) {
	v := fault.Invalid{}
	switch c.Outcome {
	case Goes:
		return "", nil
	case GoesEarlier:
		earlier := h.Start.Sub(c.Start)
		if !(earlier > 0) || earlier > 12*time.Hour || c.Start.Before(c.At) {
			v.Add("start", "Give a start that is earlier that day and still to come.")
			return "", v
		}
		h.Meet, h.Start = h.Meet.Add(-earlier), c.Start
		return fmt.Sprintf("meet at %s, walk from %s", h.Meet.Format("15:04"), h.Start.Format("15:04")), nil
	case GoesShorter:
		v.Require("turn", c.Turn, 120, "Say where it turns back.")
		return "it turns back at " + strings.TrimSpace(c.Turn), v.Err()
	case OtherTrail:
		return h.swap(c.Trail)
	}
	return "", fault.Refusal("Nothing like that can be decided.")
}

// callOff ends the hike with its decision. It does not come back: who walks there that day
// does so on their own.
func (h *Hike) callOff(c Choice) error {
	if err := h.CallOff(c.Reason); err != nil {
		return err
	}
	h.Decision = Decision{Outcome: DoesNotGo, By: c.By, At: c.At, Reason: c.Reason,
		Plan: c.On.Plan, Verdict: c.On.Verdict, Official: c.On.Official}
	return nil
}

// Says is the decision in a sentence for those who are told.
func (d Decision) Says() string {
	switch d.What() {
	case Goes:
		return "It goes as planned."
	case GoesEarlier:
		return "It goes, earlier: " + d.Change + "."
	case GoesShorter:
		return "It goes, shorter: " + d.Change + "."
	case OtherTrail:
		return "It goes on another trail: " + d.Change + "."
	case DoesNotGo:
		return "It is called off. Please do not come to the trailhead, and do not walk it as a group without a leader."
	}
	return ""
}

// WhyCalledOff is why a hike is called off, as a sentence of its own.
func (h Hike) WhyCalledOff() string {
	why := strings.TrimSpace(h.CalledOffBecause)
	if why == "" || strings.ContainsAny(why[len(why)-1:], ".!?") {
		return why
	}
	return why + "."
}
