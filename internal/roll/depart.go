package roll

import (
	"fmt"
	"slices"
	"strings"
)

// joined adds a walk-up before the departure, or brings a person into the group after it.
// Someone who left early and comes back to the group joins too.
func (f *reducer) joined(e Event) {
	for _, p := range f.people(e, e.Persons) {
		f.sameName(e, p)
		if f.state.Departed.IsZero() {
			f.place(e, p, hereStep(p.Where))
			continue
		}
		f.join(e, p)
	}
	f.joins = append(f.joins, e)
}

func (f *reducer) join(e Event, p *Person) {
	if p.Where == WhereOut {
		o := oddity{kind: FlagDuplicate, from: p.Where, people: []*Person{p}}
		f.flag(o.flag(e))
	}
	f.place(e, p, step{to: WhereOut})
	p.Last = seen(e)
	p.marks.joined, p.marks.left, p.marks.handed = true, false, false
}

// sameName asks whether one walk-up was written down on two devices: each made its own
// id, and the number would be one too high.
func (f *reducer) sameName(e Event, p *Person) {
	for _, before := range f.joins {
		if strings.EqualFold(strings.TrimSpace(before.Name), strings.TrimSpace(e.Name)) && !slices.Contains(before.Persons, p.ID) {
			f.flag(newFlag(FlagTwoWalkUps, e, "two people joined under the name "+e.Name+
				": if it is one person, undo one record", append([]PersonID{p.ID}, before.Persons...)...).about(before.ID))
		}
	}
}

// departed takes people out. Where no record of the departure has names,
// everyone who is here goes. The earliest record
// gives the time: the watch must not start late because a second one came.
func (f *reducer) departed(e Event) {
	f.number = max(f.number, e.Number)
	if f.state.Departed.IsZero() {
		f.state.Departed = e.At
		f.state.Departure = Departure{At: e.At, By: e.By, Route: e.Route, Against: e.Against, Reason: e.Note, Event: e.ID}
	}
	f.against(e)
	f.departedTwice(e)
	list := e.Persons
	if len(list) == 0 && !f.named {
		list = f.here()
	}
	f.move(e, list)
	f.judge(Count{At: e.At, Place: e.Place, Along: e.Along, Leader: e.Number, Expected: f.expected(), Events: []EventID{e.ID}}, e, true)
}

// against keeps an override in sight of everyone who reads the roll.
func (f *reducer) against(e Event) {
	if len(e.Against) == 0 {
		return
	}
	reason := "no reason was written"
	if e.Note != "" {
		reason = "the reason written: " + e.Note
	}
	f.flag(newFlag(FlagAgainst, e, e.By+" left although "+strings.Join(e.Against, "; ")+": "+reason))
}

func (f *reducer) departedTwice(e Event) {
	for _, before := range f.departs {
		if before.Number != e.Number {
			f.flag(newFlag(FlagNumberNames, e, fmt.Sprintf("%s recorded %d out, %s recorded %d: the larger stands until one is undone",
				before.By, before.Number, e.By, e.Number)).about(before.ID))
		}
	}
	f.departs = append(f.departs, e)
}

func (f *reducer) here() []PersonID {
	var list []PersonID
	for i := range f.state.People {
		if f.state.People[i].Where == WhereHere {
			list = append(list, f.state.People[i].ID)
		}
	}
	return list
}

// namesAgainstNumber compares the number of a departure or a return with its names.
func (f *reducer) namesAgainstNumber(e Event, people []*Person) {
	if e.Kind != KindDeparted && e.Kind != KindBack || e.Number == 0 || len(people) == e.Number {
		return
	}
	if len(people) == 0 {
		return // a number alone is no disagreement; Unnamed keeps it open
	}
	f.flag(newFlag(FlagNumberNames, e, fmt.Sprintf("%s recorded %d as the number %s, but %s by name",
		e.By, e.Number, recordWord(e.Kind), plural(len(people), "person", "people")), ids(people)...))
}

// notNamedOut flags whoever was here and is in no departure.
func (f *reducer) notNamedOut() {
	if len(f.departs) == 0 {
		return
	}
	var left []*Person
	for i := range f.state.People {
		if f.state.People[i].Where == WhereHere {
			left = append(left, &f.state.People[i])
		}
	}
	if len(left) == 0 {
		return
	}
	first := f.departs[0]
	f.flag(newFlag(FlagNotNamedOut, first, names(left)+": here at the start, then neither out nor turned away", ids(left)...))
}

// leftEarly takes people and their buddies off the group's number at that moment.
func (f *reducer) leftEarly(e Event) {
	people := f.move(e, union(e.Persons, e.Buddies))
	for _, p := range people {
		if e.Minutes > 0 && p.Where == WhereLeftEarly {
			// practice, early leaver, house rule: no word by twice the expected walk counts as missing.
			p.ConfirmBy = e.At.Add(2 * minutes(e.Minutes))
		}
	}
	if len(people) == 1 {
		f.flag(newFlag(FlagLeftAlone, e, people[0].Name+" left early alone: nobody walks back alone", people[0].ID))
	}
}

// childrenAlone flags a child on the trail whose responsible adult is not with it.
func (f *reducer) childrenAlone() {
	for i := range f.state.People {
		adult := &f.state.People[i]
		for _, id := range adult.ResponsibleFor {
			j, known := f.index[id]
			if !known {
				continue
			}
			child := &f.state.People[j]
			if child.Where.onTrail() && (child.Where != adult.Where || child.Party != adult.Party) {
				f.flag(Flag{Kind: FlagChildAlone, Grave: true, At: later(child.Since, adult.Since), Persons: []PersonID{child.ID, adult.ID},
					Words: child.Name + " is " + string(child.Where) + " without " + adult.Name + ", who is responsible"}.about(child.by, adult.by))
			}
		}
	}
}
