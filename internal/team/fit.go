package team

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Asking is what a hike asks of a person who takes a part in it.
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
	// Against has the reasons against, each a part of a sentence about the person.
	Against []string
	// Shared has the reasons that do not count if another person on the staff who may lead
	// makes up for them: kinds of certificate, or ShareLead. Words has them as parts of a
	// sentence.
	Shared []string
	Words  []string
}

// ShareLead is the shared reason against a provisional leader.
const ShareLead = "provisional"

// Qualified reports whether the person may take the part without anybody's help.
func (f Fit) Qualified() bool { return f.Known && len(f.Against) == 0 && len(f.Shared) == 0 }

// Why lists every reason against.
func (f Fit) Why() []string {
	if !f.Known {
		return []string{"has no qualification on record"}
	}
	return append(slices.Clone(f.Against), f.Words...)
}

// Fit compares the person's record on the day of a hike with what the hike asks.
func (q Qualification) Fit(a Asking, kinds []CertificateKind) Fit {
	f := Fit{Known: q.OnRecord()}
	if !f.Known {
		return f
	}
	s, has := q.On(a.Day)
	if !has {
		f.Against = append(f.Against, "has no level on "+a.Day.Words())
	} else {
		f.checkApproval(s, a)
	}
	for _, k := range kinds {
		if k.Asked(a) {
			f.checkCertificate(q, k, a.Day)
		}
	}
	return f
}

func (f *Fit) checkApproval(s Approval, a Asking) {
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

func (f *Fit) checkCertificate(q Qualification, k CertificateKind, day unit.Date) {
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

// MayLead reports whether the person is a leader on that day, neither lapsed nor suspended.
// Such a person may make up for what the leader of a hike lacks, where a reason is shared.
func (q Qualification) MayLead(day unit.Date) bool {
	s, has := q.On(day)
	return has && s.Level.AtLeast(LevelLeader) && s.Status != StatusLapsed && s.Status != StatusSuspended
}

// SentenceOf joins reasons to a sentence about somebody.
func SentenceOf(name string, reasons []string) string {
	return name + " " + strings.Join(reasons, "; ") + "."
}
