package sample

import (
	"cmp"
	"crypto/rand"
	"fmt"
	"saltbush/internal/party"
	"slices"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// outing is a hike of the scenario with everything about it. Until they are stored, the
// accounts of the staff are indexes in crew, and the trail is an index in ways.
type outing struct {
	trail     int
	hike      hike.Hike
	plan      *hike.StoredPlan
	changes   []hike.Changed // what the decision changed
	places    []signup.SignUp
	secrets   []account.Secret // of the places
	events    []party.Event
	received  time.Time // when the server got the last event
	closes    bool
	calledOff string // the reason; empty if it is not called off
}

// slot is the fixed part of a hike; the rest is drawn.
type slot struct {
	days   int // after today; negative: before
	trail  int
	about  string // second half of the title
	notice string
	pace   walk.Pace
	places int
	asked  int           // how many people ask for a place
	staff  []int         // leader, sweep, assistants: indexes in crew
	unsure []int         // staff who have not accepted yet; desk is on-call
	later  time.Duration // after first light
}

// season makes the scenario.
type season struct {
	*dice
	now     time.Time // in the zone of the reserve
	trails  []trail.Trail
	club    []walker
	deck    []int // walkers who have not been drawn yet
	outings []outing
}

// newSeason makes a season around now.
func newSeason(now time.Time, trails []trail.Trail) (*season, error) {
	s := emptySeason(now, trails)
	for _, add := range []func() error{s.addToday, s.addPast, s.addComing} {
		if err := add(); err != nil {
			return nil, err
		}
	}
	// In the order in which people would have entered them.
	slices.SortStableFunc(s.outings, func(a, b outing) int { return a.hike.Start.Compare(b.hike.Start) })
	return s, nil
}

// emptySeason returns a season without hikes.
func emptySeason(now time.Time, trails []trail.Trail) *season {
	d := newDice()
	return &season{dice: d, now: now.In(trails[0].Location()), trails: trails, club: club(d)}
}

// morning returns when a hike starts so many days from today.
func (s *season) morning(days int) time.Time {
	day := s.now.AddDate(0, 0, days)
	return clock(day, firstLight(day.Month()))
}

// clock returns a time of day on a date.
func clock(day time.Time, at time.Duration) time.Time {
	return time.Date(day.Year(), day.Month(), day.Day(), 0, int(at.Minutes()), 0, 0, day.Location())
}

// meetBefore is how long before the start people meet.
// Our judgment: time for the talk and the count.
const meetBefore = 30 * time.Minute

// schedule returns the hike of a slot as a draft.
func (s *season) schedule(sl slot, start time.Time) outing {
	h := hike.Hike{
		Title: s.trails[sl.trail].Name + ": " + sl.about, Notice: sl.notice, Meet: start.Add(-meetBefore), Start: start,
		Places: sl.places, Pace: cmp.Or(sl.pace, walk.Ordinary), State: hike.Draft, Created: s.created(start),
	}
	all := crew()
	roles := []team.Role{team.Leader, team.Sweep, team.Assistant}
	for i, n := range sl.staff {
		h.Staff = append(h.Staff, team.Staff{Person: s.id(), Account: ref.Account(n), Name: all[n].Name,
			Phone: all[n].Phone, Role: roles[min(i, 2)],
			Answer: team.AnswerAccepted, Answered: h.Created.Add(26 * time.Hour)})
		if slices.Contains(sl.unsure, n) {
			h.Staff[i].Answer, h.Staff[i].Answered = team.AnswerAsked, time.Time{}
		}
	}
	if !slices.Contains(sl.unsure, desk) {
		h.OnCallAccepted = h.Created.Add(30 * time.Hour)
	}
	h.OnCall = team.Contact{Name: all[desk].Name, Phone: all[desk].Phone}
	h.Deputy = team.Contact{Name: all[both].Name, Phone: all[both].Phone}
	if slices.Contains(sl.staff, both) {
		h.Deputy = team.Contact{Name: all[11].Name, Phone: all[11].Phone}
	}
	return outing{trail: sl.trail, hike: h}
}

// created returns when the hike was entered: five weeks before, or 52 hours ago if that is
// earlier.
func (s *season) created(start time.Time) time.Time {
	entered, lately := start.AddDate(0, 0, -35), s.now.Add(-52*time.Hour)
	if entered.After(lately) {
		return lately
	}
	return entered
}

// expect gives the hike a forecast and the plan for it.
func (s *season) expect(o *outing, f plan.Forecast) error {
	o.hike.Forecast = &f
	made := o.hike.Start.Add(-26 * time.Hour)
	if made.After(s.now) {
		made = s.now.Add(-3 * time.Hour)
	}
	p, err := hike.PlanFor(o.hike, s.trails[o.trail], o.hike.Staff[0].Name, made)
	if err != nil {
		return fmt.Errorf("plan %q: %w", o.hike.Title, err)
	}
	o.plan = &p
	return nil
}

// post makes the hike public and draws the people who ask for a place.
func (s *season) post(o *outing, asked int) error {
	if err := o.hike.Post(); err != nil {
		return fmt.Errorf("post %q: %w", o.hike.Title, err)
	}
	last := o.hike.Start.Add(-20 * time.Hour)
	if last.After(s.now) {
		last = s.now.Add(-20 * time.Minute)
	}
	span := last.Sub(o.hike.Created)
	for i := range asked {
		at := o.hike.Created.Add(span * time.Duration(i+1) / time.Duration(asked+1)).Truncate(time.Second)
		secret, hash, err := account.NewLink(rand.Reader)
		if err != nil {
			return err
		}
		p := s.next().place(s.id(), at)
		p.Adult = adultBefore(p, o.places)
		for p.Minor && p.Adult == "" { // no adult can answer for the child yet
			p = s.next().place(s.id(), at)
			p.Adult = adultBefore(p, o.places)
		}
		p.Link = hash[:]
		o.places, o.secrets = append(o.places, p), append(o.secrets, secret)
	}
	return nil
}

// adultBefore returns the adult who answers for a child: the last one who asked before it and
// may take one more. It is "" for an adult.
func adultBefore(p signup.SignUp, before []signup.SignUp) string {
	if !p.Minor {
		return ""
	}
	for i := len(before) - 1; i >= 0; i-- {
		p.Adult, p.AdultID = before[i].Name, ""
		if hike.AssignAdult(&p, hike.Hike{}, before) == nil {
			return p.Adult
		}
	}
	return ""
}

// next draws a walker. Nobody is drawn twice before everybody was drawn.
func (s *season) next() walker {
	if len(s.deck) == 0 {
		s.deck = s.Perm(len(s.club))
	}
	w := s.club[s.deck[0]]
	s.deck = s.deck[1:]
	return w
}

// decide records the decision that the hike goes, well before the deadline.
func (s *season) decide(o *outing) error {
	reason := ""
	if o.plan.Plan.Verdict.Decision != plan.Go {
		reason = "Everyone on it has walked here in such heat before, we carry double reserve water, and we turn at " +
			"the first sign. Told to all by phone."
	}
	at := o.hike.DecideBy().Add(-95 * time.Minute)
	return o.hike.Decide(o.hike.Staff[0].Name, at, o.plan.Plan.Verdict.Decision, reason)
}

// confirmed returns the sign-ups that the store will confirm: the first ones.
func (o *outing) confirmed() []signup.SignUp {
	return o.places[:min(len(o.places), o.hike.Places)]
}
