package trail

import (
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/walk"
)

// TrailNormals are the usual days of a trail's months, and whose word they are on.
type TrailNormals struct {
	Trail   ref.Trail
	Normals plan.Normals
	// Source says where the figures are from; empty means that nobody said.
	Source string
	Typed  time.Time
	By     string
}

// Validate returns an Invalid naming each fault.
func (n TrailNormals) Validate() error {
	v := fault.Invalid{}
	if err := n.Normals.Validate(); err != nil {
		v.Add("normals", err.Error()+".")
	}
	v.AtMost("normals_source", n.Source, 400)
	return v.Err()
}

// YearParty is whom the year of a trail is worked out for. House judgement: a group of
// common size with two staff, or what the permit allows.
func YearParty(t Trail) walk.Party {
	p := walk.Party{Participants: 12, Staff: 2, Pace: walk.Ordinary}
	if t.PermitCap > 0 {
		p.Participants = max(1, min(p.Participants, t.PermitCap-p.Staff))
	}
	return p
}

// YearFor says in which months and at which hours of now's year the trail may be led by an
// ordinary group that is not known to be used to heat.
func YearFor(t Trail, n plan.Normals, rules rules.Rules, now time.Time) (plan.YearPlan, error) {
	return plan.Year(plan.Input{
		Profile: t.Profile,
		Surface: t.Surface,
		Start:   now.In(t.Location()),
		Party:   YearParty(t),
		Rules:   rules.Planning,
	}, n)
}
