package staffing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/hike"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// Fair is how many days back the hikes a person led are counted. Our judgment: a season is
// about three months.
const Fair = 90

// Candidate is somebody who might take a part on a hike.
type Candidate struct {
	team.Qualification
	Recent int       // hikes led in the last 90 days
	Last   unit.Date // when they last led; zero for never
	// WhyNot has the reasons against; it is empty for people who are free and qualified.
	WhyNot []string
}

// Free reports whether nothing speaks against asking them.
func (c Candidate) Free() bool { return len(c.WhyNot) == 0 }

// Candidates lists people for a part on the hike. Those who are free and qualified come first,
// in order of fairness: fewest hikes led in the last 90 days, then longest since the last one.
// The others follow in the same order, with the reasons against. Duties are those of the days
// around the hike.
func (c Crew) Candidates(
	role team.Role, people []team.Qualification, duties []Duty, roads trail.Roads, today unit.Date,
) []Candidate {
	var list []Candidate
	finish, basis := FinishOf(c.Hike, c.Trail, c.Plan)
	for _, q := range people {
		would := Duty{
			Account: q.Account,
			Name:    q.Name,
			Hike:    c.Hike.ID,
			Title:   c.Hike.Title,
			Role:    role,
			Trail:   c.Hike.Trail,
			Meet:    c.Hike.Meet,
			Finish:  finish,
			Basis:   basis,
			Debrief: c.Hike.Rules().Debrief,
		}
		x := Candidate{Qualification: q, Recent: q.LedSince(today.Add(-Fair), today.Add(1)), Last: q.LastLed()}
		x.WhyNot = append(q.Fit(AskingOf(c.Hike, c.Trail, role, c.minors() > 0), c.Kinds).Why(),
			c.conflicts(q, would, duties, roads)...)
		list = append(list, x)
	}
	slices.SortStableFunc(list, fairer)
	return list
}

func fairer(a, b Candidate) int {
	return cmp.Or(
		hike.TrueFirst(a.Free(), b.Free()), cmp.Compare(a.Recent, b.Recent),
		a.Last.Time().Compare(b.Last.Time()), cmp.Compare(a.Name, b.Name),
	)
}

// conflicts lists what else the person does at that time.
func (c Crew) conflicts(q team.Qualification, would Duty, duties []Duty, roads trail.Roads) []string {
	var why []string
	for _, s := range c.Hike.Staff {
		if s.Account == q.Account {
			why = append(why, fmt.Sprintf("is on this hike already, as %s, %s", s.Role, s.Answer))
		}
	}
	if _, is := PersonOf(c.Hike.OnCall, []team.Qualification{q}); is && would.Role != OnCallRole {
		why = append(why, "is on call for this hike")
	}
	if a, away := q.AwayOn(unit.DateOf(c.Hike.Start)); away {
		why = append(why, strings.TrimSuffix("cannot: "+a.Words()+", "+a.Note, ", "))
	}
	for _, d := range duties {
		if d.Account != q.Account || d.Hike == would.Hike {
			continue
		}
		if clash, is := ClashOf(d, would, roads.Between); is {
			why = append(why, "clashes: "+strings.TrimSuffix(clash.Why, "."))
		}
	}
	return why
}
