package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
)

// Phase says how worried to be. Its text is the word for screens.
type Phase string

// The phases. Uncertainty, alert and distress are those of international search and rescue
// (ICAO Annex 12; SAR Convention 1979), which every rescue coordinator knows.
const (
	NotOut      Phase = "not out"
	Unconfirmed Phase = "departure not confirmed"
	OnTime      Phase = "on time"
	Due         Phase = "due"
	Uncertainty Phase = "uncertainty"
	Alert       Phase = "alert"
	Distress    Phase = "distress"
	Back        Phase = "back"
	StoodDown   Phase = "stood down"
)

// Phases lists all phases from the most to the least urgent.
func Phases() []Phase {
	return []Phase{Distress, Alert, Uncertainty, Due, Unconfirmed, Back, OnTime, NotOut, StoodDown}
}

// Urgency orders phases: larger is more urgent. An unknown phase is the most urgent.
func (p Phase) Urgency() int {
	all := Phases()
	if i := slices.Index(all, p); i >= 0 {
		return len(all) - i
	}
	return len(all) + 1
}

// Alarm reports whether somebody must act.
func (p Phase) Alarm() bool { return p == Uncertainty || p == Alert || p == Distress }

// Meaning explains the phase in a sentence or two.
func (p Phase) Meaning() string {
	switch p {
	case NotOut:
		return "The group has not set out."
	case Unconfirmed:
		return "The start time has passed and nobody has reported the departure. " +
			"The clocks run from the scheduled start."
	case OnTime:
		return "Nothing is due. Silence is normal on this trail."
	case Due:
		return "The likely return time has passed. Half of all walks take longer; there is nothing to do yet."
	case Uncertainty:
		return "The watch time has passed. On-call asks: leader, sweep, someone near the lot."
	case Alert:
		return "Asking has brought no word. On-call and coordinator ask more widely and warn the land manager."
	case Distress:
		return "Help was asked for, or the call time has passed. On-call calls the emergency number now."
	case Back:
		return "Everyone is accounted for by name. On-call has still to stand down."
	case StoodDown:
		return "Everyone is accounted for and on-call has ended the watch."
	}
	return "This phase is not known: treat it as an alarm."
}

// PhaseAt returns the phase at a moment. The passing of time only raises it, until everyone
// is accounted for. A stand-down holds only if nobody is unaccounted for and help was not
// asked for later.
func PhaseAt(now time.Time, t Times, s party.State) Phase {
	switch {
	case ended(s):
		return StoodDown
	case !s.TroubleAt.IsZero():
		return Distress
	case accounted(s) && s.Departed.IsZero():
		return NotOut
	case accounted(s):
		return Back
	case now.Before(t.Start) && !t.DepartureConfirmed:
		return NotOut
	}
	return phaseByClock(now, t)
}

// accounted reports whether everybody is accounted for. An empty roll accounts for nobody.
func accounted(s party.State) bool { return s.AllAccounted && len(s.People) > 0 }

// ended reports whether the watch has been stood down and still is.
func ended(s party.State) bool {
	if s.StoodDown.IsZero() || !accounted(s) {
		return false
	}
	return !slices.ContainsFunc(s.Reports, func(r party.Report) bool {
		return r.Trouble && r.At.After(s.StoodDown)
	})
}

func phaseByClock(now time.Time, t Times) Phase {
	reached := func(at time.Time) bool { return !now.Before(at) }
	switch {
	case reached(t.Call):
		return Distress
	case reached(t.Widen):
		return Alert
	case reached(t.Watch):
		return Uncertainty
	case reached(t.Expected):
		return Due
	case !t.DepartureConfirmed:
		return Unconfirmed
	}
	return OnTime
}
