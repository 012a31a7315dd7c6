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

// State is where a hike stands in its life.
type State string

// The states of a hike.
const (
	Draft     State = "draft"
	Posted    State = "posted"
	CalledOff State = "called off"
	Out       State = "out"
	Back      State = "back"
	Closed    State = "closed"
)

// Hike is one scheduled guided walk on a trail. Meet and Start carry the trailhead's
// zone.
type Hike struct {
	ID     ref.Hike
	Trail  ref.Trail
	Title  string
	Notice string // what the leader tells the public beyond the figures
	Meet   time.Time
	Start  time.Time
	Places int // for participants; staff do not take places
	Pace   walk.Pace
	Staff  []team.Staff
	OnCall team.Contact
	Deputy team.Contact
	// OnCallAccepted is when on-call said yes; zero while they are only asked.
	OnCallAccepted time.Time
	State          State
	// Forecast is nil until a leader has typed one: no forecast, no plan.
	Forecast *plan.Forecast
	// Decision is what was decided by the decision hour; zero until then.
	Decision Decision
	// CalledOffBecause is told to everyone who signed up.
	CalledOffBecause string
	Created          time.Time
	// House is the rules of the house as they stood when the hike was loaded. A hike does
	// not keep them; a plan keeps those it was made with.
	House rules.Rules `db:"-"`
}

// Rules returns the rules of the house that the hike is judged by: the defaults where it
// came from no store.
func (h Hike) Rules() rules.Rules {
	if h.House == (rules.Rules{}) {
		return rules.DefaultRules()
	}
	return h.House
}

// DecideBy returns the fixed decision hour, early enough that people can sleep.
func (h Hike) DecideBy() time.Time { return h.Start.Add(-h.Rules().DecisionLead) }

// AwaitsDecision reports whether the hike is posted and its go decision is open.
func (h Hike) AwaitsDecision() bool { return h.State == Posted && !h.Decision.Made() }

// Validate returns an Invalid naming each fault of a hike as scheduled. It puts the
// addresses of those on call into the form in which mail goes to them.
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
	for _, s := range h.Staff {
		if s.Role == team.Leader {
			return true
		}
	}
	return false
}

// Post makes a draft public. It needs a leader: somebody must answer for it.
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

// CallOff ends a hike that has not left. The reason is told to those who signed up.
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

// Reconsider withdraws a decision to go where a newer plan is graver than the one that it
// was taken on: toward caution nobody has to do anything. It reports whether it did.
func (h *Hike) Reconsider(before, after plan.Decision) bool {
	if h.State != Posted || !h.Decision.Made() || !after.Graver(before) || after == plan.Go {
		return false
	}
	h.Decision = Decision{}
	return true
}

// Reschedule takes over what the scheduling form holds. A hike that has left keeps its
// times, and one whose time or trail changes must be decided on again.
func (h *Hike) Reschedule(to Hike) error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s and can no longer be changed.", h.State))
	}
	if !to.Start.Equal(h.Start) || to.Trail != h.Trail {
		h.Decision = Decision{}
	}
	if to.OnCall != h.OnCall || !to.Start.Equal(h.Start) {
		h.OnCallAccepted = time.Time{}
	}
	h.Staff = KeepAnswers(*h, to)
	h.Trail, h.Title, h.Notice, h.Meet, h.Start = to.Trail, to.Title, to.Notice, to.Meet, to.Start
	h.Places, h.Pace, h.OnCall, h.Deputy = to.Places, to.Pace, to.OnCall, to.Deputy
	return nil
}

// SetForecast takes a new forecast; plans made from earlier ones are kept.
func (h *Hike) SetForecast(f plan.Forecast) error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s; its plan stands.", h.State))
	}
	h.Forecast = &f
	return nil
}

// Close ends a hike that is back. Whether every name is accounted for is the roll's to
// say, and is asked first.
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

// SignUpsClose is when the last place may be asked for.
func (h Hike) SignUpsClose() time.Time { return h.Meet.Add(-h.Rules().SignUpCutOff) }

// StaffNeeded returns how many staff the places of the hike ask for.
func (h Hike) StaffNeeded() int { return h.Rules().StaffNeeded(h.Places) }

// TakesSignUps reports whether the public may still ask for a place.
func (h Hike) TakesSignUps(now time.Time) bool {
	return h.State == Posted && now.Before(h.SignUpsClose())
}

const (
	// House judgement: from the evening before, leaders ring people about the forecast, the
	// water and the cars, and whoever is on call reads the watch card.
	dayBegins = 24 * time.Hour
	// House judgement: what was left open is settled within two days of the start; links for
	// the day and copies on phones end as late.
	dayEnds = 48 * time.Hour
)

// OnDay reports whether now belongs to the day of the hike: from the evening before it
// until two days after its start, and for as long as it is out or not settled. A draft and
// a hike that is called off have none.
func (h Hike) OnDay(now time.Time) bool {
	switch h.State {
	case Out, Back:
		return true
	case Posted, Closed:
		return !now.Before(h.DayBegins()) && now.Before(h.Start.Add(dayEnds))
	}
	return false
}

// DayBegins returns the evening before the hike, from which it is its day.
func (h Hike) DayBegins() time.Time { return h.Meet.Add(-dayBegins) }
