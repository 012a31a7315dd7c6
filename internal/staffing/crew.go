package staffing

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// The answers of somebody on the staff.
const ()

// AskingOf is what the hike asks of a role. Rough ground is asked for by what is
// underfoot, heat by the forecast; both are house judgements: at 95 F and above only short
// hikes with extra staff are left of the house's heat ladder.
func AskingOf(h hike.Hike, t trail.Trail, role team.Role, minors bool) team.Asking {
	p := t.Profile
	a := team.Asking{Day: unit.DateOf(h.Start), Role: role, Minors: minors, Class: track.Rate(p.Length, p.Ascent, p.Steepest).Class}
	if t.Surface == walk.Rocky || t.Surface == walk.LooseSand {
		a.Endorsements = append(a.Endorsements, team.RoughGround)
	}
	if h.Forecast != nil && h.Forecast.High >= unit.Fahrenheit(95) {
		a.Endorsements = append(a.Endorsements, team.Heat)
	}
	return a
}

// Crew is a hike with what is known of the people on its staff.
type Crew struct {
	Hike   hike.Hike
	Trail  trail.Trail
	Plan   *plan.Plan
	Kinds  []team.CertificateKind
	People map[ref.Account]team.Qualification
	Places []signup.SignUp
}

// Member is one of the staff with how their record meets the hike.
type Member struct {
	team.Staff
	Fit team.Fit
	// Alone is why they cannot take the part, also with the others' help; empty where they
	// can. An assistant is never in the way of a hike.
	Alone []string
	// Helped says who makes up for what they lack.
	Helped []string
}

// Members holds the record of everybody on the staff against the hike.
func (c Crew) Members() []Member {
	list := make([]Member, len(c.Hike.Staff))
	for i, s := range c.Hike.Staff {
		m := Member{Staff: s, Fit: c.fit(s, s.Role)}
		if m.Fit.Known {
			m.Alone = slices.Clone(m.Fit.Against)
			for n, kind := range m.Fit.Shared {
				if helper, ok := c.helper(s, kind); ok {
					m.Helped = append(m.Helped, fmt.Sprintf("%s, but %s makes up for it", m.Fit.Words[n], helper))
				} else {
					m.Alone = append(m.Alone, m.Fit.Words[n])
				}
			}
		}
		list[i] = m
	}
	return list
}

func (c Crew) fit(s team.Staff, role team.Role) team.Fit {
	return c.People[s.Account].Fit(AskingOf(c.Hike, c.Trail, role, c.minors() > 0), c.Kinds)
}

// helper finds another on the staff who may lead and holds what somebody lacks.
func (c Crew) helper(who team.Staff, kind string) (name string, ok bool) {
	day := unit.DateOf(c.Hike.Start)
	for _, s := range c.Hike.Staff {
		q := c.People[s.Account]
		if s.Account == who.Account || !q.MayLead(day) {
			continue
		}
		if on, _ := q.On(day); kind == team.ShareLead && on.Status == team.StatusActive || q.Holds(kind, day) {
			return s.Name, true
		}
	}
	return "", false
}

// Blocks are the reasons for which the hike may not be posted or go: a leader or sweep
// whose record says that they may not. What is not on record blocks nothing, and is said.
func (c Crew) Blocks() []string {
	var list []string
	for _, m := range c.Members() {
		if m.Role != team.Assistant && len(m.Alone) > 0 {
			list = append(list, team.SentenceOf(m.Name, m.Alone))
		}
	}
	return list
}

// MayPost returns a Refusal while the staff does not allow the hike to be made public: its
// leader must have accepted, and nobody who leads or sweeps may be unfit on the day.
func (c Crew) MayPost() error {
	if s, named := c.Hike.StaffOf(team.Leader); named && !s.Accepted() {
		return fault.Refusal(s.Name + " has been asked to lead and has not accepted yet. Asked is not accepted.")
	}
	if b := c.Blocks(); len(b) > 0 {
		return fault.Refusal(strings.Join(b, " ") + " Name somebody else; the hike can stay.")
	}
	return nil
}

// MayGo returns a Refusal while the staff does not allow the hike to go: leader and sweep
// must have accepted as well.
func (c Crew) MayGo() error {
	for _, role := range []team.Role{team.Leader, team.Sweep} {
		s, named := c.Hike.StaffOf(role)
		if !named {
			return fault.Refusal(fmt.Sprintf("Nobody is named as %s. Never fewer than two of staff, and the tail is always named.", role))
		}
		if !s.Accepted() {
			return fault.Refusal(fmt.Sprintf("%s has been asked as %s and has not accepted yet. Asked is not accepted.", s.Name, role))
		}
	}
	return c.MayPost()
}

// Provisional says why the hike is provisional, empty where it is not: there must be a
// second person who has accepted and could lead it if the leader falls ill.
func (c Crew) Provisional() string {
	able := 0
	for _, s := range c.Hike.Staff {
		if f := c.fit(s, team.Leader); s.Accepted() && f.Qualified() {
			able++
		}
	}
	switch able {
	case 0:
		return "nobody who has accepted is on record as able to lead it"
	case 1:
		return "there is no second qualified person if the leader falls ill"
	}
	return ""
}

// Qualified counts the staff who are qualified for their part, and how many of those have
// accepted.
func (c Crew) Qualified() (named, accepted int) {
	for _, m := range c.Members() {
		if m.Fit.Known && len(m.Alone) == 0 {
			named++
			if m.Accepted() {
				accepted++
			}
		}
	}
	return named, accepted
}

func (c Crew) minors() (n int) {
	for _, p := range c.Places {
		if p.State == signup.Confirmed && p.Minor {
			n++
		}
	}
	return n
}

// responsible counts the adults with a place who are the guardian of a minor with a place.
func (c Crew) responsible() int {
	guardians := map[string]bool{}
	for _, p := range c.Places {
		if p.State == signup.Confirmed && p.Minor {
			guardians[text.Fold(p.Guardian)] = true
		}
	}
	n := 0
	for _, p := range c.Places {
		if p.State == signup.Confirmed && !p.Minor && guardians[text.Fold(p.Name)] {
			n++
		}
	}
	return n
}

// Party is the hike as the staffing number sees it, with the qualified of its staff. How
// many participants there are is the caller's to say: those with a place, or all places.
func (c Crew) Party(participants int) Party {
	named, _ := c.Qualified()
	rules := c.Hike.Rules()
	return Party{Participants: participants, Minors: c.minors(), Responsible: c.responsible(), Cap: c.Trail.PermitCap,
		CapCountsStaff: !c.Trail.PermitWithoutStaff, Persons: len(c.Hike.Staff), Qualified: named, Ratio: rules.Ratio, Fewest: rules.FewestStaff, MinorsEach: rules.MinorsPerAdult}
}
