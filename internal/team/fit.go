package team

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Asking is what a hike asks of whoever takes a part in it.
type Asking struct {
	Day          unit.Date // of the hike, in the trailhead's zone
	Role         Role
	Class        track.Class
	Endorsements []Endorsement
	Minors       bool // a minor has a place
}

// Fit is how a person's record meets what a hike asks.
type Fit struct {
	Known bool // something is on record
	// Against are the reasons against, each a part of a sentence about the person.
	Against []string
	// Shared are reasons that do not count where another person on the staff who may lead
	// makes up for them: the kinds of certificate, or ShareLead.
	Shared []string
	// Words say the shared reasons.
	Words []string
}

// ShareLead is the shared reason of a provisional leader.
const ShareLead = "provisional"

// Qualified reports whether nothing speaks against the person, with nobody's help.
func (f Fit) Qualified() bool { return f.Known && len(f.Against) == 0 && len(f.Shared) == 0 }

// Why lists every reason against.
func (f Fit) Why() []string {
	if !f.Known {
		return []string{"has no qualification on record"}
	}
	return append(slices.Clone(f.Against), f.Words...)
}

// Fit holds the person's record against what a hike asks, on the hike's day.
func (q Qualification) Fit(a Asking, kinds []CertificateKind) Fit {
	f := Fit{Known: q.OnRecord()}
	if !f.Known {
		return f
	}
	s, has := q.On(a.Day)
	if !has {
		f.Against = append(f.Against, "has no level on "+a.Day.Words())
	} else {
		f.standing(s, a)
	}
	for _, k := range kinds {
		if k.Asked(a) {
			f.certificate(q, k, a.Day)
		}
	}
	return f
}

func (f *Fit) standing(s Approval, a Asking) {
	switch s.Status {
	case StatusLapsed, StatusSuspended:
		f.Against = append(f.Against, fmt.Sprintf("is %s since %s", s.Status, s.From.Words()))
	case StatusProvisional:
		if a.Role == Leader {
			f.share(ShareLead, "is provisional: leads only beside another who may lead")
		}
	}
	if want := LevelFor(a.Role); !s.Level.AtLeast(want) {
		f.Against = append(f.Against, fmt.Sprintf("is %s, and a %s must be at least %s", s.Level, a.Role, want))
	}
	if slices.Index(trail.Classes(), a.Class) > slices.Index(trail.Classes(), s.MaxClass) {
		f.Against = append(f.Against, fmt.Sprintf("may go up to %s, and this hike is %s", s.MaxClass, a.Class))
	}
	for _, e := range a.Endorsements {
		if a.Role == Leader && !slices.Contains(s.Endorsements, e) {
			f.Against = append(f.Against, fmt.Sprintf("is not endorsed for %s", e))
		}
	}
}

func (f *Fit) certificate(q Qualification, k CertificateKind, day unit.Date) {
	c, has := q.Certificate(k.Name)
	if has && c.ValidOn(day) {
		return
	}
	words := "has no " + k.Name
	if has {
		words = fmt.Sprintf("holds %s through %s only, and the hike is on %s", k.Name, c.Through.Words(), day.Words())
	}
	if k.Shared {
		f.share(k.Name, words)
		return
	}
	f.Against = append(f.Against, words)
}

func (f *Fit) share(kind, words string) {
	f.Shared, f.Words = append(f.Shared, kind), append(f.Words, words)
}

// MayLead reports whether the level on that day is a leader's and not taken away. Such a
// person may hold what the leader of a hike lacks, where the rule allows it.
func (q Qualification) MayLead(day unit.Date) bool {
	s, has := q.On(day)
	return has && s.Level.AtLeast(LevelLeader) && s.Status != StatusLapsed && s.Status != StatusSuspended
}

// SentenceOf makes a sentence of reasons about somebody.
func SentenceOf(name string, reasons []string) string {
	return name + " " + strings.Join(reasons, "; ") + "."
}
