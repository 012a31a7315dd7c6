package staffing

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/trail"
)

// OnCallRole is the role of a duty on call. It is not a role on the hike.
const OnCallRole team.Role = "on-call"

const (
	// Our judgment: on-call is on duty until an hour after the late return, when they would
	// call for help.
	onCallAfter = time.Hour
	// Our judgment: the hours in which being on call costs sleep, and the rest that a person
	// needs after such a night before they lead people.
	nightFrom, nightTo = 22, 5
	rest               = 8 * time.Hour
)

// Basis says how the end of a hike is known.
type Basis string

// The values of Basis.
const (
	ByPlan  Basis = "nine in ten by the plan"
	ByGuess Basis = "an estimate without a plan"
)

// Duty is one person's part in one hike.
type Duty struct {
	Account ref.Account
	Name    string
	Hike    ref.Hike
	Title   string
	Role    team.Role
	Trail   ref.Trail
	Meet    time.Time
	Finish  time.Time // nine of ten such parties are back by then
	Basis   Basis
	Debrief time.Duration // how long the staff stay after the finish, a rule of the organization
}

// ends returns when the person is free again, before any drive.
func (d Duty) ends() time.Time {
	if d.Role == OnCallRole {
		return d.Finish.Add(onCallAfter)
	}
	return d.Finish.Add(d.Debrief)
}

// Clash is two duties that one person cannot both do.
type Clash struct {
	First, Then Duty
	// Free is when the person could be at the second hike; it is after Then.Meet.
	Free  time.Time
	Drive trail.Drive
	Why   string // a sentence with the calculation
}

// ClashOf checks two duties of one person against each other. The first ends when nine of ten
// parties are back; then follow the debrief and the drive, whatever the roles, and rest after a
// night on call. Arriving at the meeting time is no clash.
func ClashOf(a, b Duty, drive func(from, to ref.Trail) trail.Drive) (Clash, bool) {
	if b.Meet.Before(a.Meet) || b.Meet.Equal(a.Meet) && b.Hike < a.Hike {
		a, b = b, a
	}
	c := Clash{First: a, Then: b, Free: a.ends()}
	zone := b.Meet.Location()
	clock := func(t time.Time) string { return format.Clock(t, zone) }
	switch {
	case a.Role == OnCallRole && b.Role == OnCallRole:
		return c, false // one person can be on call for two hikes
	case a.Role == OnCallRole:
		c.Why = fmt.Sprintf("on call for %s until %s, an hour after the late return", a.Title, clock(c.Free))
		if reachesNight(a) && b.Role == team.Leader && c.Free.Add(rest).After(b.Meet) {
			c.Free = c.Free.Add(rest)
			c.Why += fmt.Sprintf("; with 8 h of rest after a night that is %s", clock(c.Free))
		}
	case b.Role == OnCallRole:
		c.Why = fmt.Sprintf("%s until %s with the debrief", a.Title, clock(c.Free))
	default:
		c.Drive = drive(a.Trail, b.Trail)
		c.Free = c.Free.Add(c.Drive.Takes)
		c.Why = fmt.Sprintf("%s back by %s (%s), %d min debrief, %d min drive (%s): %s",
			a.Title, clock(a.Finish), a.Basis, int(a.Debrief.Minutes()),
			int(c.Drive.Takes.Minutes()), c.Drive.Basis(), clock(c.Free))
	}
	c.Why += fmt.Sprintf(", and %s meets at %s.", b.Title, clock(b.Meet))
	return c, c.Free.After(b.Meet)
}

// reachesNight reports whether the duty goes on into the night, by the trailhead's clock.
func reachesNight(d Duty) bool {
	zone := d.Meet.Location()
	for t := d.Meet; t.Before(d.ends()); t = t.Add(15 * time.Minute) {
		if h := t.In(zone).Hour(); h >= nightFrom || h < nightTo {
			return true
		}
	}
	return false
}

// Clashes finds every pair of duties of one person that clash, in the order of the second.
func Clashes(duties []Duty, drive func(from, to ref.Trail) trail.Drive) []Clash {
	var list []Clash
	for i, a := range duties {
		for _, b := range duties[i+1:] {
			if a.Account != b.Account || a.Hike == b.Hike {
				continue
			}
			if c, is := ClashOf(a, b, drive); is {
				list = append(list, c)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Clash) int { return a.Then.Meet.Compare(b.Then.Meet) })
	return list
}

// DutiesOf lists who does what on a hike, including on-call if they are a known person. A hike
// that is called off or closed has no duties.
func DutiesOf(h hike.Hike, t trail.Trail, p *plan.Plan, known []team.Qualification) []Duty {
	if h.State == hike.CalledOff || h.State == hike.Closed {
		return nil
	}
	finish, basis := FinishOf(h, t, p)
	of := func(account ref.Account, name string, r team.Role) Duty {
		return Duty{Account: account, Name: name, Hike: h.ID, Title: h.Title, Role: r, Trail: h.Trail, Meet: h.Meet,
			Finish: finish, Basis: basis, Debrief: h.Rules().Debrief}
	}
	var list []Duty
	for _, s := range h.Staff {
		list = append(list, of(s.Account, s.Name, s.Role))
	}
	if q, is := PersonOf(h.OnCall, known); is {
		list = append(list, of(q.Account, q.Name, OnCallRole))
	}
	return list
}

// PersonOf finds the person a contact names: by address, or else by phone number, or else by
// name. Contacts are typed by hand, so there is no ID to go by.
func PersonOf(c team.Contact, known []team.Qualification) (team.Qualification, bool) {
	for _, is := range []func(q team.Qualification) bool{
		func(q team.Qualification) bool { return c.Email != "" && strings.EqualFold(c.Email, q.Email) },
		func(q team.Qualification) bool { return text.SamePhone(c.Phone, q.Phone) },
		func(q team.Qualification) bool { return text.Same(c.Name, q.Name) },
	} {
		if i := slices.IndexFunc(known, is); i >= 0 {
			return known[i], true
		}
	}
	return team.Qualification{}, false
}

// FinishOf returns when nine of ten such parties are back: by the plan, which knows the pace
// and the breaks, or else by a guess from the trail's figures.
func FinishOf(h hike.Hike, t trail.Trail, p *plan.Plan) (time.Time, Basis) {
	if p != nil && p.Time.P90 > 0 {
		return h.Start.Add(p.Time.P90.Duration()), ByPlan
	}
	return h.Start.Add(guess(t.Profile)), ByGuess
}

const (
	// Naismith's rule, as walking notes for ordinary groups give it: 15 min per kilometer and
	// 10 min per 100 m of climb.
	perKilometre = 15 * time.Minute
	perHundred   = 10 * time.Minute
	// Our judgment: ten minutes of rest in each hour, and the spread to nine in ten that is
	// used without a history (29 %).
	withRests  = 1.2
	ninthTenth = 1.29
)

func guess(p track.Profile) time.Duration {
	walk := p.Length.Kilometres()*float64(perKilometre) + p.Ascent.Metres()/100*float64(perHundred)
	return time.Duration(walk * withRests * ninthTenth).Round(time.Minute)
}
