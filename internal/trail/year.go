package trail

import (
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/walk"
)

// TrailNormals are the usual weather of a trail by month, and who entered it.
type TrailNormals struct {
	Trail   ref.Trail
	Normals plan.Normals
	// Source says where the figures come from; empty if nobody said.
	Source string
	Typed  time.Time
	By     string
}

// Validate returns an Invalid that lists each fault.
func (n TrailNormals) Validate() error {
	v := fault.Invalid{}
	if err := n.Normals.Validate(); err != nil {
		v.Add("normals", err.Error()+".")
	}
	v.AtMost("normals_source", n.Source, 400)
	return v.Err()
}

// YearParty returns the party that the year of a trail is computed for. Our judgment: a group
// of common size with two staff, or what the permit allows.
func YearParty(t Trail) walk.Party {
	p := walk.Party{Participants: 12, Staff: 2, Pace: walk.Ordinary}
	if t.PermitCap > 0 {
		p.Participants = max(1, min(p.Participants, t.PermitCap-p.Staff))
	}
	return p
}

// YearFor computes in which months of this year, and at which hours, an ordinary group may be
// led on the trail. The group is not known to be used to heat.
func YearFor(t Trail, n plan.Normals, rules rules.Rules, now time.Time) (plan.YearPlan, error) {
	return plan.Year(plan.Input{
		Profile: t.Profile,
		Surface: t.Surface,
		Start:   now.In(t.Location()),
		Party:   YearParty(t),
		Rules:   rules.Planning,
	}, n)
}
