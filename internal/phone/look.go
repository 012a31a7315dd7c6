package phone

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/party"
)

// Answer makes the view of a Given, both as JSON. Input that cannot be read or worked out gets an
// error for an answer, because a program that stops on a phone does not start again by itself.
func Answer(given []byte) (answer []byte) {
	defer func() {
		if r := recover(); r != nil {
			answer = failure(fmt.Sprint(r))
		}
	}()
	g, err := read(given)
	if err != nil {
		return failure(err.Error())
	}
	answer, err = json.Marshal(Look(g))
	if err != nil {
		return failure(err.Error())
	}
	return answer
}

// read leaves out events that cannot be read: the server will refuse them.
func read(given []byte) (Given, error) {
	var g struct {
		Given
		Events []json.RawMessage `json:"events"`
	}
	if err := json.Unmarshal(given, &g); err != nil {
		return Given{}, err
	}
	for _, raw := range g.Events {
		var e party.Event
		if json.Unmarshal(raw, &e) == nil {
			g.Given.Events = append(g.Given.Events, e)
		}
	}
	return g.Given, nil
}

func failure(words string) []byte {
	b, _ := json.Marshal(map[string]string{"error": words}) // strings always marshal
	return b
}

// Look folds the events and makes the view.
func Look(g Given) View {
	s := party.FoldWith(g.Roster, g.Terms, g.Events)
	l := look{state: s, given: g, about: make(map[party.EventID]int, len(g.Events))}
	for _, e := range g.Events {
		l.about[e.ID] = len(e.Persons) + len(e.Buddies)
	}
	v := View{
		Headline: Headline(s), Leave: LeaveWords(s), People: l.people(), Unmarked: s.Unmarked(), Missing: s.Missing(),
		Departed: s.Departed.UTC(), AllAccounted: s.AllAccounted, Sums: sumsOf(s), Flags: Flags(s, g.Now),
		Parties: partiesOf(s), Early: l.early(), Counts: countsOf(s), Search: l.search(), Care: l.care(),
		Full: l.gate(party.RouteFull), Short: l.gate(party.RouteShort), Noted: notedOf(s),
	}
	if s.WaitsForThunder(g.Now) {
		v.Resume = s.ResumeAt().UTC()
	}
	if c, ok := s.LastAgreed(); ok {
		agreed := countOf(c)
		v.LastAgreed = &agreed
	}
	if e, ok := party.Newest(g.Events); ok {
		v.Newest = e.ID
	}
	return v
}

// look is the state with what it was made from.
type look struct {
	state party.State
	given Given
	about map[party.EventID]int // how many people an event names
}

// filled returns an empty list for nil, so that JSON has [] in place of null.
func filled[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// Headline is the large line of the roll.
func Headline(s party.State) string {
	switch {
	case s.Departed.IsZero():
		return fmt.Sprintf("%d of %d here", countAt(s, party.WhereHere), len(s.People))
	case s.AllAccounted:
		return "Everybody is accounted for"
	}
	return fmt.Sprintf("%d out", len(s.OnTrail()))
}

// LeaveWords is the text of the button to leave: "Leave with 3 walkers and 2 staff: 5 out".
func LeaveWords(s party.State) string {
	here, staff := 0, 0
	for _, p := range s.People {
		if p.Where != party.WhereHere {
			continue
		}
		here++
		if p.Staff {
			staff++
		}
	}
	walkers := fmt.Sprintf("%d walkers", here-staff)
	if here-staff == 1 {
		walkers = "1 walker"
	}
	return fmt.Sprintf("Leave with %s and %d staff: %d out", walkers, staff, here)
}

func countAt(s party.State, where party.Whereabouts) int {
	n := 0
	for _, p := range s.People {
		if p.Where == where {
			n++
		}
	}
	return n
}

func sumsOf(s party.State) Sums {
	return Sums{
		Here: countAt(s, party.WhereHere), OnTrail: len(s.OnTrail()), Out: s.Out, Joined: s.Joined,
		LeftEarly: s.LeftEarly, HandedOver: s.HandedOver, Lost: s.Lost, Unnamed: s.Unnamed, Expected: s.Expected,
	}
}

func (l look) people() []Person {
	list := []Person{}
	for _, p := range l.state.People {
		x := Person{
			ID: p.ID, Name: p.Name, Where: p.Where, Since: p.Since.UTC(), Party: p.Party, Staff: p.Staff, Role: p.Role,
			Minor: p.Minor, Missing: p.Missing, Mark: p.Mark(), Last: sightingOf(p.Last), ConfirmBy: p.ConfirmBy.UTC(),
			Confirmed: p.Confirmed, Alone: p.Mark() != "" && l.about[p.Mark()] == 1,
		}
		if p.Water.Known {
			litres := p.Water.Litres
			x.Water = &litres
		}
		if adult, known := l.state.ResponsibleOf(p.ID); known && p.Minor {
			x.With = adult.Name
		}
		list = append(list, x)
	}
	return list
}

// sightingOf is nil for somebody whom nobody has confirmed.
func sightingOf(s party.Sighting) *Sighting {
	if s.At.IsZero() {
		return nil
	}
	return &Sighting{At: s.At.UTC(), Place: s.Place, Along: s.Along}
}

// lateKind flags people whose time to reach the car is up.
const lateKind party.FlagKind = "left early and not heard from: treat as missing"

// Flags are what people have to settle: first those who left early and are late, then the flags of
// the fold in their order.
func Flags(s party.State, now time.Time) []Flag {
	list := []Flag{}
	for _, g := range s.Early {
		if !isLate(g, now) {
			continue
		}
		list = append(list, Flag{
			Kind: lateKind, Alarm: true, Grave: true, At: g.ConfirmBy.UTC(), Persons: g.Open,
			Words: strings.Join(s.Names(g.Open), ", ") + ": twice the expected walking time has passed. " +
				"Call them, ask somebody to check the parking lot, then record them missing under Help.",
		})
	}
	for _, f := range s.Warnings() {
		x := Flag{
			Kind: f.Kind, Alarm: f.Alarm(), Grave: f.Grave, At: f.At.UTC(), Words: f.Words, Persons: f.Persons,
			Settle: f.Conflict(),
		}
		if g, low := s.GapOf(f); low {
			x.Look = s.GapWords(g)
			x.Since = Sighting{At: g.Since.At.UTC(), Place: party.PlaceWords(g.Since.Place), Along: g.Since.Along}
		}
		for _, c := range f.Claims {
			x.Claims = append(x.Claims, Claim{Event: c.Event, Kind: c.Kind, At: c.At.UTC(), By: c.By})
		}
		list = append(list, x)
	}
	return list
}

func partiesOf(s party.State) []Party {
	list := []Party{}
	for _, g := range s.Parties {
		list = append(list, Party{
			Name: g.Name, Expected: g.Expected, Complete: g.Complete, Meet: g.Meet, By: g.By.UTC(),
		})
	}
	return list
}

func (l look) early() []Early {
	var list []Early
	for _, g := range l.state.Early {
		x := Early{
			To: g.To, Names: filled(l.state.Names(g.Persons)), Open: g.Open, ConfirmBy: g.ConfirmBy.UTC(),
			Left: Sighting{At: g.Left.At.UTC(), Place: g.Left.Place, Along: g.Left.Along},
		}
		x.Late = isLate(g, l.given.Now)
		list = append(list, x)
	}
	return list
}

func isLate(g party.EarlyGroup, now time.Time) bool {
	return len(g.Open) > 0 && reached(g.ConfirmBy, now)
}

// reached reports whether a time that is known has come.
func reached(at, now time.Time) bool { return !at.IsZero() && !now.Before(at) }

func countsOf(s party.State) []Count {
	var list []Count
	for _, c := range s.Counts {
		list = append(list, countOf(c))
	}
	return list
}

func countOf(c party.Count) Count {
	return Count{
		At: c.At.UTC(), Place: c.Place, Along: c.Along, Party: c.Party, Expected: c.Expected, Leader: c.Leader,
		Sweep: c.Sweep, Agrees: c.Agrees,
	}
}

func notedOf(s party.State) []Noted {
	var list []Noted
	for _, n := range s.Noted {
		list = append(list, Noted{Topic: n.Topic, Text: n.Text, At: n.At.UTC(), By: n.By})
	}
	return list
}

func (l look) care() []Care {
	var list []Care
	for _, c := range l.state.CareDue() {
		list = append(list, Care{
			Names: filled(l.state.Names(c.Open)), At: c.Seen.At.UTC(), Signs: c.Signs, Emergency: c.Care.Emergency,
			Title: c.Care.Title, Do: c.Care.Do,
		})
	}
	return list
}

func (l look) gate(route party.Route) Gate {
	g := party.GateOf(l.state, l.given.Terms, route, l.given.Now)
	x := Gate{Checks: []Check{}, Blocked: g.Blocked(), Against: g.Against()}
	x.Water = l.given.Terms.WaterLines(g.Water, l.state.Stock)
	for _, c := range g.Checks {
		x.Checks = append(x.Checks, Check{Title: c.Title, Grade: c.Grade, Words: c.Words})
	}
	return x
}
