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
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// AskingOf returns what the hike asks of a role. The surface asks for the endorsement for rough
// ground, the forecast for the one for heat. Our judgment: at 95 F and above, the heat ladder
// allows only short hikes with extra staff.
func AskingOf(h hike.Hike, t trail.Trail, role team.Role, minors bool) team.Asking {
	p := t.Profile
	a := team.Asking{Day: unit.DateOf(h.Start), Role: role, Minors: minors,
		Class: track.Rate(p.Length, p.Ascent, p.Steepest).Class}
	if t.Surface == walk.Rocky || t.Surface == walk.LooseSand {
		a.Endorsements = append(a.Endorsements, team.RoughGround)
	}
	if h.Forecast != nil && h.Forecast.High >= unit.Fahrenheit(95) {
		a.Endorsements = append(a.Endorsements, team.Heat)
	}
	return a
}

// Crew is a hike with what is known about its staff.
type Crew struct {
	Hike   hike.Hike
	Trail  trail.Trail
	Plan   *plan.Plan
	Kinds  []team.CertificateKind
	People map[ref.Account]team.Qualification
	Places []signup.SignUp
}

// Member is one of the staff, with how their record meets the hike.
type Member struct {
	team.Staff
	Fit team.Fit
	// Alone says why they cannot take the part, even with the others' help; empty if they can.
	// Assistants never block a hike.
	Alone []string
	// Helped says who makes up for what they lack.
	Helped []string
}

// Members compares the record of everybody on the staff with the hike.
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

// helper finds somebody else on the staff who may lead and has what somebody lacks.
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

// Blocks lists the reasons why the hike may not be posted or go: a leader or sweep whose record
// says that they may not. People without a record do not block it.
func (c Crew) Blocks() []string {
	var list []string
	for _, m := range c.Members() {
		if m.Role != team.Assistant && len(m.Alone) > 0 {
			list = append(list, team.SentenceOf(m.Name, m.Alone))
		}
	}
	return list
}

// MayPost returns a Refusal if the staff does not allow the hike to be posted. Its leader must
// have accepted, and its leader and sweep must be qualified on the day.
func (c Crew) MayPost() error {
	if s, named := c.Hike.StaffOf(team.Leader); named && !s.Accepted() {
		return fault.Refusal(s.Name + " has been asked to lead and has not accepted yet. Asked is not accepted.")
	}
	if gap := c.Hike.OnCallGap(); gap != "" && !c.Hike.OnCallOverride.Made() {
		return fault.Refusal(gap + " Change that, or write why the hike goes anyway.")
	}
	if b := c.Blocks(); len(b) > 0 {
		return fault.Refusal(strings.Join(b, " ") + " Name somebody else; the hike can stay.")
	}
	return nil
}

// MayGo returns a Refusal if the staff does not allow the hike to go. Beyond what MayPost asks,
// a sweep must have accepted.
func (c Crew) MayGo() error {
	for _, role := range []team.Role{team.Leader, team.Sweep} {
		s, named := c.Hike.StaffOf(role)
		if !named {
			return fault.Refusal(fmt.Sprintf("Nobody is named as %s. Never fewer than two of staff, and the tail is "+
				"always named.", role))
		}
		if !s.Accepted() {
			return fault.Refusal(fmt.Sprintf("%s has been asked as %s and has not accepted yet. Asked is not accepted.",
				s.Name, role))
		}
	}
	return c.MayPost()
}

// Provisional says why the hike is provisional; empty if it is not. A second person who
// accepted must be able to lead it if the leader falls ill.
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

// Qualified counts the staff who are qualified for their part, and how many of them accepted.
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

// responsible counts the adults with a place who answer for a minor with a place. For a minor
// whose adult has no place it is the guardian, found by name.
func (c Crew) responsible() int {
	walking := signup.Walking(c.Places)
	adults := signup.Adults(walking, nil)
	responsible := map[ref.Person]bool{}
	for _, p := range walking {
		adult, found := p.AdultAmong(adults)
		if !found {
			p.Adult = p.Guardian
			adult, found = p.AdultAmong(adults)
		}
		if found {
			responsible[adult.ID] = true
		}
	}
	return len(responsible)
}

// Party returns the numbers of the hike for this many participants, with the qualified of its
// staff.
func (c Crew) Party(participants int) Party {
	named, _ := c.Qualified()
	rules := c.Hike.Rules()
	return Party{
		Participants:   participants,
		Minors:         c.minors(),
		Responsible:    c.responsible(),
		Cap:            c.Trail.PermitCap,
		CapCountsStaff: !c.Trail.PermitWithoutStaff,
		Persons:        len(c.Hike.Staff),
		Qualified:      named,
		Ratio:          rules.Ratio,
		Fewest:         rules.FewestStaff,
		MinorsEach:     rules.MinorsPerAdult,
	}
}
