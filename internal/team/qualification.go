package team

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Level is how far a person has come on the staff.
type Level string

// The levels, from the lowest up.
const (
	LevelCandidate Level = "candidate"
	LevelSweep     Level = "sweep"
	LevelAssistant Level = "assistant"
	LevelLeader    Level = "leader"
	LevelMentor    Level = "mentor"
)

// Levels lists every level from the lowest up.
func Levels() []Level {
	return []Level{LevelCandidate, LevelSweep, LevelAssistant, LevelLeader, LevelMentor}
}

// AtLeast reports whether the level is want or higher. An unknown level is below all of them.
func (l Level) AtLeast(want Level) bool {
	return slices.Index(Levels(), l) >= slices.Index(Levels(), want)
}

// LevelFor returns the level that a role on a hike asks for.
func LevelFor(r Role) Level {
	switch r {
	case Leader:
		return LevelLeader
	case Assistant:
		return LevelAssistant
	}
	return LevelSweep
}

// Status is whether a person may act at their level.
type Status string

// The statuses. A provisional person leads only beside another who may lead.
const (
	StatusActive      Status = "active"
	StatusProvisional Status = "provisional"
	StatusLapsed      Status = "lapsed"
	StatusSuspended   Status = "suspended"
)

// Statuses lists every status in the order that forms offer them.
func Statuses() []Status {
	return []Status{StatusActive, StatusProvisional, StatusLapsed, StatusSuspended}
}

// Endorsement is ground or weather that a person was seen to manage.
type Endorsement string

// The endorsements.
const (
	RoughGround Endorsement = "rough ground"
	Heat        Endorsement = "heat"
)

// Endorsements lists every endorsement in the order that forms offer them.
func Endorsements() []Endorsement { return []Endorsement{RoughGround, Heat} }

// Approval is a person's level and status from a day on. Approvals are only added: a lapse has
// a date of its own, so it does not change the hikes before it.
type Approval struct {
	ID           int64
	From         unit.Date
	Level        Level
	MaxClass     track.Class // the hardest class of hike allowed
	Endorsements []Endorsement
	Status       Status
	Reason       string
	By           string // who wrote it
	Written      time.Time
}

// Validate returns an Invalid that lists each fault.
func (s Approval) Validate() error {
	v := fault.Invalid{}
	if s.From.IsZero() {
		v.Add("from", "Give the day from which it holds, such as 2027-03-14.")
	}
	if !slices.Contains(Levels(), s.Level) {
		v.Add("level", "Choose a level.")
	}
	if !slices.Contains(trail.Classes(), s.MaxClass) {
		v.Add("max_class", "Choose the hardest class of hike.")
	}
	if !slices.Contains(Statuses(), s.Status) {
		v.Add("status", "Choose a status.")
	}
	for _, e := range s.Endorsements {
		if !slices.Contains(Endorsements(), e) {
			v.Add("endorsements", "Choose from this list.")
		}
	}
	v.Require("reason", s.Reason, 500, "Say why: the reason is kept with the date.")
	return v.Err()
}

// CertificateKind is a certificate that the organization asks for. It decides which those are.
type CertificateKind struct {
	Name   string
	Leader bool // asked of the leader of a hike
	Sweep  bool // asked of the sweep
	Minors bool // asked only if a minor is on the hike
	// Shared means that it is enough if another person on the staff who may lead has it.
	Shared bool
}

// Validate returns an Invalid that lists each fault.
func (k CertificateKind) Validate() error {
	v := fault.Invalid{}
	v.Require("kind", k.Name, 60, "Name the certificate.")
	return v.Err()
}

// Asked reports whether the kind is asked of the role. Nothing is asked of assistants.
func (k CertificateKind) Asked(of Asking) bool {
	if k.Minors && !of.Minors {
		return false
	}
	return of.Role == Leader && k.Leader || of.Role == Sweep && k.Sweep
}

// Certificate is a certificate that a person has. It is valid through its last day.
type Certificate struct {
	ID       int64
	Account  ref.Account
	Kind     string
	Issuer   string
	Number   string
	Through  unit.Date // the last day on which it is valid; zero for no end
	Evidence string    // where the certificate was seen, and by whom
}

// Validate returns an Invalid that lists each fault.
func (c Certificate) Validate() error {
	v := fault.Invalid{}
	v.Require("certificate", c.Kind, 60, "Choose the certificate.")
	v.Require("issuer", c.Issuer, 120, "Say who issued it.")
	v.Require("evidence", c.Evidence, 500, "Say where the paper was seen: a copy on file, shown at training.")
	if text.Longer(c.Number, 60) {
		v.Add("number", "is too long")
	}
	return v.Err()
}

// ValidOn reports whether the certificate is valid on the day.
func (c Certificate) ValidOn(day unit.Date) bool { return c.Through.IsZero() || !c.Through.Before(day) }

// Observed is a hike on which a mentor watched a trainee.
type Observed struct {
	ID      int64
	Account ref.Account
	Day     unit.Date
	Trail   string
	Mentor  string
	Skills  []string // what the mentor looked at
	Result  string   // ready, more practice, not yet
	Note    string
}

// ObservedResults lists the results a mentor may choose from.
func ObservedResults() []string { return []string{"ready", "more practice", "not yet"} }

// Skills lists what a mentor looks at, in the order of a hike. Our judgment.
func Skills() []string {
	return []string{"briefing", "roll and count", "pace of the slowest", "way finding", "heat and water",
		"turning back", "radio and phone", "first aid"}
}

// Validate returns an Invalid that lists each fault.
func (o Observed) Validate() error {
	v := fault.Invalid{}
	if o.Day.IsZero() {
		v.Add("day", "Give the day of the hike, such as 2027-03-14.")
	}
	v.Require("trail", o.Trail, 120, "Name the trail.")
	v.Require("mentor", o.Mentor, 120, "Name who watched.")
	if !slices.Contains(ObservedResults(), o.Result) {
		v.Add("result", "Choose what came of it.")
	}
	if len(o.Skills) == 0 {
		v.Add("skills", "Tick at least one thing that was looked at.")
	}
	v.AtMost("note", o.Note, 2000)
	return v.Err()
}

// Walked is a closed hike on which a person was on the staff. Start is in the trailhead's zone.
type Walked struct {
	Account ref.Account
	Hike    ref.Hike
	Title   string
	Trail   string
	Start   time.Time
	Role    Role
}

// Qualification is everything on record about one person on the staff.
type Qualification struct {
	Account      ref.Account
	Name         string
	Email        string
	Phone        string
	Approvals    []Approval
	Certificates []Certificate
	Observed     []Observed
	Walked       []Walked // closed hikes only
	Absences     []Absence
}

// OnRecord reports whether anything on record says what the person may do. Without it they are
// neither fit nor unfit.
func (q Qualification) OnRecord() bool { return len(q.Approvals)+len(q.Certificates) > 0 }

// On returns the approval that is valid on a day: the one with the latest first day, and of two
// with the same day the one written last.
func (q Qualification) On(day unit.Date) (Approval, bool) {
	var best Approval
	for _, s := range q.Approvals {
		if day.Before(s.From) {
			continue
		}
		later := cmp.Or(s.From.Time().Compare(best.From.Time()), s.Written.Compare(best.Written),
			cmp.Compare(s.ID, best.ID))
		if best.From.IsZero() || later > 0 {
			best = s
		}
	}
	return best, !best.From.IsZero()
}

// Certificate returns the certificate of the kind that is valid longest.
func (q Qualification) Certificate(kind string) (Certificate, bool) {
	var best Certificate
	for _, c := range q.Certificates {
		if c.Kind == kind &&
			(best.Kind == "" || c.Through.IsZero() || (!best.Through.IsZero() && best.Through.Before(c.Through))) {
			best = c
		}
	}
	return best, best.Kind != ""
}

// Holds reports whether the person has a certificate of the kind that is valid on the day.
func (q Qualification) Holds(kind string, day unit.Date) bool {
	c, has := q.Certificate(kind)
	return has && c.ValidOn(day)
}

// Led counts the closed hikes that the person led in the months before a day.
func (q Qualification) Led(day unit.Date, months int) int {
	from := unit.DateOf(day.Time().AddDate(0, -months, 0))
	return q.LedSince(from, day)
}

// LedSince counts the closed hikes that the person led from one day to before another.
func (q Qualification) LedSince(from, day unit.Date) int {
	n := 0
	for _, w := range q.Walked {
		if d := unit.DateOf(w.Start); w.Role == Leader && !d.Before(from) && d.Before(day) {
			n++
		}
	}
	return n
}

// LastLed returns the day on which the person last led; zero for never.
func (q Qualification) LastLed() (last unit.Date) {
	for _, w := range q.Walked {
		if d := unit.DateOf(w.Start); w.Role == Leader && last.Before(d) {
			last = d
		}
	}
	return last
}
