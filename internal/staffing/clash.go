package staffing

import (
	"fmt"
	"slices"
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

// OnCallRole is what a duty of on-call is called; it is no part on the hike itself.
const OnCallRole team.Role = "on-call"

const (
	// House judgement: on-call holds the watch until an hour after the late return, when the
	// call for help would be made.
	onCallAfter = time.Hour
	// House judgement: the hours in which being on call costs sleep, and the rest that is
	// owed after such a night before people are led: one night's sleep.
	nightFrom, nightTo = 22, 5
	rest               = 8 * time.Hour
)

// The ways of knowing when a hike ends.
const (
	ByPlan  trail.Basis = "nine in ten by the plan"
	ByGuess trail.Basis = "an estimate without a plan"
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
	Finish  time.Time // by which nine of ten such parties are back
	Basis   trail.Basis
	Debrief time.Duration // how long staff stay after the finish, a rule of the organization
}

// ends is when the person is free again, before any drive.
func (d Duty) ends() time.Time {
	if d.Role == OnCallRole {
		return d.Finish.Add(onCallAfter)
	}
	return d.Finish.Add(d.Debrief)
}

// Clash is two duties that one person cannot do both.
type Clash struct {
	First, Then Duty
	// Free is when the person could be at the second; it is after Then.Meet.
	Free  time.Time
	Drive trail.Drive
	Why   string // a sentence with the sum
}

// ClashOf holds two duties of one person against each other. What counts is when nine of
// ten parties are back, then the debrief, then the drive, whatever the parts are; after a
// night on call also the rest. Being there to the minute is no clash.
func ClashOf(a, b Duty, drive func(from, to ref.Trail) trail.Drive) (Clash, bool) {
	if b.Meet.Before(a.Meet) || b.Meet.Equal(a.Meet) && b.Hike < a.Hike {
		a, b = b, a
	}
	c := Clash{First: a, Then: b, Free: a.ends()}
	zone := b.Meet.Location()
	clock := func(t time.Time) string { return format.Clock(t, zone) }
	switch {
	case a.Role == OnCallRole && b.Role == OnCallRole:
		return c, false // one phone can be answered for two hikes
	case a.Role == OnCallRole:
		c.Why = fmt.Sprintf("on call for %s until %s, an hour after the late return", a.Title, clock(c.Free))
		if wakes(a) && b.Role == team.Leader && c.Free.Add(rest).After(b.Meet) {
			c.Free = c.Free.Add(rest)
			c.Why += fmt.Sprintf("; with 8 h of rest after a night that is %s", clock(c.Free))
		}
	case b.Role == OnCallRole:
		c.Why = fmt.Sprintf("%s until %s with the debrief", a.Title, clock(c.Free))
	default:
		c.Drive = drive(a.Trail, b.Trail)
		c.Free = c.Free.Add(c.Drive.Takes)
		c.Why = fmt.Sprintf("%s back by %s (%s), %d min debrief, %d min drive (%s): %s", a.Title,
			clock(a.Finish), a.Basis, int(a.Debrief.Minutes()), int(c.Drive.Takes.Minutes()), c.Drive.Basis(), clock(c.Free))
	}
	c.Why += fmt.Sprintf(", and %s meets at %s.", b.Title, clock(b.Meet))
	return c, c.Free.After(b.Meet)
}

// wakes reports whether the duty reaches into the night by the trailhead's clock.
func wakes(d Duty) bool {
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

// DutiesOf lists who does what on a hike, on-call and deputy too where they are known
// people. A hike that is called off or over binds nobody.
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

// PersonOf finds the person whom a contact names: by address, by number, or by full name.
func PersonOf(c team.Contact, known []team.Qualification) (team.Qualification, bool) {
	number := text.Digits(c.Phone)
	for _, q := range known {
		switch {
		case c.Email != "" && c.Email == q.Email,
			number != "" && number == text.Digits(q.Phone),
			c.Name != "" && c.Name == q.Name:
			return q, true
		}
	}
	return team.Qualification{}, false
}

// FinishOf is when nine of ten such parties are back: by the plan, which knows the pace
// and the breaks, or without one by a guess from the trail's figures.
func FinishOf(h hike.Hike, t trail.Trail, p *plan.Plan) (time.Time, trail.Basis) {
	if p != nil && p.Time.P90 > 0 {
		return h.Start.Add(p.Time.P90.Duration()), ByPlan
	}
	return h.Start.Add(guess(t.Profile)), ByGuess
}

const (
	// Naismith's rule as walking notes for ordinary groups restate it: 15 min for each
	// kilometre and 10 min for each 100 m of climb.
	perKilometre = 15 * time.Minute
	perHundred   = 10 * time.Minute
	// House judgement: with ten minutes of rest in each hour, and the spread to nine in ten
	// that is used where there is no history (29 %).
	withRests  = 1.2
	ninthTenth = 1.29
)

func guess(p track.Profile) time.Duration {
	walk := p.Length.Kilometres()*float64(perKilometre) + p.Ascent.Metres()/100*float64(perHundred)
	return time.Duration(walk * withRests * ninthTenth).Round(time.Minute)
}
