package party

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"saltbush/internal/unit"
)

// joined adds a walk-up before the departure, or brings a person into the group after it.
// Somebody who left early and comes back to the group joins too.
func (r *reducer) joined(e Event) {
	for _, p := range r.people(e, e.Persons) {
		r.flagSameName(e, p)
		if r.state.Departed.IsZero() {
			r.place(e, p, toHere(p.Where))
			continue
		}
		r.joinOnTrail(e, p)
	}
	r.joins = append(r.joins, e)
}

func (r *reducer) joinOnTrail(e Event, p *Person) {
	if p.Where == WhereOut {
		o := oddity{kind: FlagDuplicate, from: p.Where, people: []*Person{p}, before: []EventID{p.by}}
		r.flag(o.flag(e))
	}
	r.sawByName(e, []*Person{p})
	r.place(e, p, transition{to: WhereOut})
	p.Last = sightingOf(e)
	p.marks.joined, p.marks.left, p.marks.handed = true, false, false
}

// flagSameName flags two walk-ups of one name. One person recorded on two devices has two
// IDs, and the expected number would be one too high.
func (r *reducer) flagSameName(e Event, p *Person) {
	for _, before := range r.joins {
		same := strings.EqualFold(strings.TrimSpace(before.Name), strings.TrimSpace(e.Name))
		if same && !slices.Contains(before.Persons, p.ID) {
			r.flag(newFlag(FlagTwoWalkUps, e, "two people joined under the name "+e.Name+
				": if it is one person, undo one record",
				append([]PersonID{p.ID}, before.Persons...)...).about(before.ID))
		}
	}
}

// departed takes people out. If no departure event has names, everyone who is here goes.
// The earliest event sets the time: a second one must not make the watch start late.
func (r *reducer) departed(e Event) {
	r.number = max(r.number, e.Number)
	if r.state.Departed.IsZero() {
		r.state.Departed = e.At
		r.state.Departure = Departure{
			At: e.At, By: e.By, Route: e.Route, Against: e.Against, Reason: e.Note, Event: e.ID,
		}
	}
	r.flagAgainst(e)
	r.flagSecondDeparture(e)
	r.departs = append(r.departs, e)
	list := e.Persons
	if len(list) == 0 && !r.namedOut {
		list = r.here()
	}
	r.move(e, list)
	c := countOf(e, "")
	c.Leader, c.Expected = e.Number, r.expected()
	r.addCount(c, e, true)
}

// flagAgainst keeps a departure against the rules visible to everyone who reads the roll.
func (r *reducer) flagAgainst(e Event) {
	if len(e.Against) == 0 {
		return
	}
	reason := "no reason was written"
	if e.Note != "" {
		reason = "the reason written: " + e.Note
	}
	r.flag(newFlag(FlagAgainst, e, e.By+" left although "+strings.Join(e.Against, "; ")+": "+reason))
}

func (r *reducer) flagSecondDeparture(e Event) {
	for _, before := range r.departs {
		if before.Number != e.Number {
			r.flag(newFlag(FlagNumberNames, e, fmt.Sprintf(
				"%s recorded %d out, %s recorded %d: the larger stands until one is undone",
				before.By, before.Number, e.By, e.Number)).about(before.ID))
		}
	}
}

// here lists the people at the trailhead.
func (r *reducer) here() []PersonID {
	var list []PersonID
	for i := range r.state.People {
		if r.state.People[i].Where == WhereHere {
			list = append(list, r.state.People[i].ID)
		}
	}
	return list
}

// checkNumber compares the number of a departure or a return with its names. A number
// without names is fine: Unnamed keeps it open.
func (r *reducer) checkNumber(e Event, people []*Person) {
	if e.Kind != KindDeparted && e.Kind != KindBack {
		return
	}
	if e.Number == 0 || len(people) == 0 || len(people) == e.Number {
		return
	}
	r.flag(newFlag(FlagNumberNames, e, fmt.Sprintf("%s recorded %d as the number %s, but %s by name",
		e.By, e.Number, kindWords(e.Kind), PeopleWords(len(people))), idsOf(people)...))
}

// flagNotNamedOut flags people who were here and are in no departure.
func (r *reducer) flagNotNamedOut() {
	if len(r.departs) == 0 {
		return
	}
	var left []*Person
	for i := range r.state.People {
		if r.state.People[i].Where == WhereHere {
			left = append(left, &r.state.People[i])
		}
	}
	if len(left) == 0 {
		return
	}
	r.flag(newFlag(FlagNotNamedOut, r.departs[0],
		namesOf(left)+": here at the start, then neither out nor turned away", idsOf(left)...))
}

// leftEarly subtracts people and their buddies from the group's number from that moment on.
func (r *reducer) leftEarly(e Event) {
	people := r.move(e, union(e.Persons, e.Buddies))
	r.addEarly(e, people)
	for _, p := range people {
		if p.Where == WhereLeftEarly {
			p.ConfirmBy = confirmBy(e)
		}
	}
	if len(people) == 1 {
		r.flag(newFlag(FlagLeftAlone, e, people[0].Name+" left early alone: nobody walks back alone", people[0].ID))
	}
}

// water keeps what was seen of people's water, or of the spare water in the leader's car.
func (r *reducer) water(e Event) {
	if e.Kind == KindStock {
		r.state.Stock = r.checkWater(r.state.Stock, e, "the leader's car")
		return
	}
	for _, p := range r.people(e, e.Persons) {
		p.Water = r.checkWater(p.Water, e, p.Name)
	}
}

// checkWater returns the figure that stands. A recorder replaces their own figure. Of two
// figures by different people the lower one stands, because starting with too little does
// more harm than a question.
func (r *reducer) checkWater(before WaterCheck, e Event, whose string) WaterCheck {
	now := WaterCheck{Litres: e.Litres, Gives: e.Gives, Known: true, By: e.By, Event: e.ID}
	if !before.Known || before.By == e.By || before.Litres == e.Litres {
		return now
	}
	words := fmt.Sprintf("water of %s: %s wrote %s, %s wrote %s: the lower stands until one is undone",
		whose, before.By, litreWords(before.Litres), e.By, litreWords(e.Litres))
	r.flag(newFlag(FlagWater, e, words, e.Persons...).about(before.Event))
	if before.Litres < e.Litres {
		return before
	}
	return now
}

// litreWords writes water in the unit in which it was recorded. See PeopleWords.
func litreWords(v unit.Volume) string {
	return strings.TrimSuffix(strconv.FormatFloat(v.Litres(), 'f', 1, 64), ".0") + " L"
}
