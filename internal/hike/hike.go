package hike

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/team"
	"saltbush/internal/walk"
)

// State is the state of a hike.
type State string

// The states, in the order of a hike's life.
const (
	Draft     State = "draft"
	Posted    State = "posted"
	CalledOff State = "called off"
	Out       State = "out"
	Back      State = "back"
	Closed    State = "closed"
)

// Hike is one scheduled guided hike on a trail. Meet and Start are in the trailhead's zone.
type Hike struct {
	ID     ref.Hike
	Trail  ref.Trail
	Title  string
	Notice string // what the leader tells the public besides the figures
	Meet   time.Time
	Start  time.Time
	// Turn is where a decision makes the hike turn back before the end of its trail.
	Turn   Turn
	Places int // for participants; staff do not take places
	Pace   walk.Pace
	Staff  []team.Staff
	OnCall team.Contact
	Deputy team.Contact
	// OnCallAccepted is when on-call accepted; zero while they are only asked.
	OnCallAccepted time.Time
	// OnCallOverride is why the hike goes although no alarm can reach anybody on call.
	OnCallOverride Override
	State          State
	// Forecast is nil until a leader has entered one. Without a forecast there is no plan.
	Forecast *plan.Forecast
	// Decision is the decision made by the decision hour; zero until then.
	Decision Decision
	// Changed is the last change that a decision made to the walk.
	Changed Change
	// CalledOffBecause is told to everybody who signed up.
	CalledOffBecause string
	Created          time.Time
	// House has the organization's rules as they were when the hike was loaded. They are not
	// stored with the hike; a plan stores those it was computed with.
	House rules.Rules `db:"-"`
}

// Rules returns the organization's rules for the hike, or the defaults if it was not loaded
// from a store.
func (h Hike) Rules() rules.Rules {
	if h.House == (rules.Rules{}) {
		return rules.DefaultRules()
	}
	return h.House
}

// DecideBy returns the decision hour. It is early enough that people can still sleep.
func (h Hike) DecideBy() time.Time { return h.Start.Add(-h.Rules().DecisionLead) }

// AwaitsDecision reports whether the hike is posted and no decision was made.
func (h Hike) AwaitsDecision() bool { return h.State == Posted && !h.Decision.Made() }

// Validate returns an Invalid that lists each fault of a hike as scheduled. It normalizes the
// addresses of on-call and deputy.
func (h *Hike) Validate() error {
	v := fault.Invalid{}
	v.Require("title", h.Title, 120, "Give the hike a title.")
	if h.Meet.IsZero() {
		v.Add("meet", "Give the time to meet, such as 06:00.")
	}
	if h.Start.IsZero() {
		v.Add("start", "Give the time to start walking, such as 06:30.")
	}
	if !h.Meet.IsZero() && !h.Start.IsZero() && h.Start.Before(h.Meet) {
		v.Add("start", "The start is before the meeting time.")
	}
	if h.Places < 1 || h.Places > 200 {
		v.Add("places", "Give the number of places for participants, 1 to 200.")
	}
	if _, err := walk.ParsePace(string(h.Pace)); err != nil {
		v.Add("pace", "Choose a pace.")
	}
	v.OptionalAddress("on_call_email", &h.OnCall.Email)
	v.OptionalAddress("deputy_email", &h.Deputy.Email)
	v.AtMost("notice", h.Notice, 4000)
	return v.Err()
}

// LeaderNamed reports whether the hike has a leader.
func (h Hike) LeaderNamed() bool {
	_, named := h.StaffOf(team.Leader)
	return named
}

// Post makes a draft public. It needs a leader, because somebody must be responsible for it.
func (h *Hike) Post() error {
	if h.State != Draft {
		return fault.Refusal(fmt.Sprintf("This hike is %s; only a draft can be posted.", h.State))
	}
	if !h.LeaderNamed() {
		return fault.Refusal("Name a leader before posting the hike.")
	}
	h.State = Posted
	return nil
}

// CallOff ends a hike that has not left. The reason is told to the people who signed up.
func (h *Hike) CallOff(reason string) error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s and can no longer be called off.", h.State))
	}
	if reason == "" {
		return fault.Invalid{"reason": "Say why: everyone who signed up is told."}
	}
	h.State, h.CalledOffBecause = CalledOff, reason
	return nil
}

// Reconsider withdraws the decision if the new plan is graver than the one before and no longer
// says go. Nobody has to act to make a hike more cautious. It reports whether it did.
func (h *Hike) Reconsider(before, after plan.Decision) bool {
	if h.State != Posted || !h.Decision.Made() || !after.Graver(before) || after == plan.Go {
		return false
	}
	h.Decision = Decision{}
	return true
}

// Reschedule copies what the scheduling form sets. Only a hike that has not left can be
// rescheduled. If its start or trail changes, it needs a new decision.
func (h *Hike) Reschedule(to Hike) error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s and can no longer be changed.", h.State))
	}
	if !to.Start.Equal(h.Start) || to.Trail != h.Trail {
		h.Decision = Decision{}
	}
	if to.Trail != h.Trail {
		h.Turn = Turn{}
	}
	if to.OnCall != h.OnCall || !to.Start.Equal(h.Start) {
		h.OnCallAccepted, h.OnCallOverride = time.Time{}, Override{}
	}
	h.Staff = KeepAnswers(*h, to)
	h.Trail, h.Title, h.Notice, h.Meet, h.Start = to.Trail, to.Title, to.Notice, to.Meet, to.Start
	h.Places, h.Pace, h.OnCall, h.Deputy = to.Places, to.Pace, to.OnCall, to.Deputy
	return nil
}

// SetForecast replaces the forecast; plans made from earlier ones stay.
func (h *Hike) SetForecast(f plan.Forecast) error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s; its plan stands.", h.State))
	}
	h.Forecast = &f
	return nil
}

// Close ends a hike that is out or back. Accounted is the roll's error if somebody is not
// accounted for; the hike is then not closed.
func (h *Hike) Close(accounted error) error {
	if h.State != Out && h.State != Back {
		return fault.Refusal(fmt.Sprintf("This hike is %s; only a hike that is back can be closed.", h.State))
	}
	if accounted != nil {
		return accounted
	}
	h.State = Closed
	return nil
}

// SignUpsClose returns when people can no longer ask for a place.
func (h Hike) SignUpsClose() time.Time { return h.Meet.Add(-h.Rules().SignUpCutOff) }

// StaffNeeded returns how many staff the rules require for the places of the hike.
func (h Hike) StaffNeeded() int { return h.Rules().StaffNeeded(h.Places) }

// TakesSignUps reports whether people can still ask for a place.
func (h Hike) TakesSignUps(now time.Time) bool {
	return h.State == Posted && now.Before(h.SignUpsClose())
}

const (
	// Our judgment: from the evening before, leaders phone people about the forecast, the water
	// and the cars, and on-call reads the watch card.
	dayBegins = 24 * time.Hour
	// Our judgment: what was left open is settled within two days of the start. Links for the
	// day and copies on phones expire then too.
	dayEnds = 48 * time.Hour
)

// OnDay reports whether now is within the day of the hike: from the evening before until two
// days after the start, and for as long as it is out or not settled. A draft and a hike that
// was called off have no such day.
func (h Hike) OnDay(now time.Time) bool {
	switch h.State {
	case Out, Back:
		return true
	case Posted, Closed:
		return !now.Before(h.DayBegins()) && now.Before(h.Start.Add(dayEnds))
	}
	return false
}

// DayBegins returns when the day of the hike begins: the evening before.
func (h Hike) DayBegins() time.Time { return h.Meet.Add(-dayBegins) }
