package party

import (
	"fmt"
	"slices"
)

// split divides the party into groups. A split of a group lists all groups from then on. A
// group without its own staff and number is flagged right away, not when they meet again.
func (r *reducer) split(e Event) {
	r.flagSecondSplit(e)
	r.lastSplit = e
	r.clearGroups()
	rest := r.unassigned(e)
	sum, numbered := 0, true
	for _, part := range e.Parties {
		if len(part.Persons) == 0 && len(rest) > 0 {
			part.Persons, rest = rest, nil
		}
		r.addGroup(e, part)
		sum += part.Number
		numbered = numbered && part.Number > 0
	}
	if numbered {
		c := countOf(e, "")
		c.Leader, c.Expected = sum, r.expected()
		r.addCount(c, e, false)
	}
}

// flagSecondSplit flags two records of one split. The later one stands.
func (r *reducer) flagSecondSplit(e Event) {
	if p := r.lastSplit; p.ID != "" && p.By != e.By && e.At.Sub(p.At) <= sameThing {
		r.flag(newFlag(FlagDuplicate, e, "a split recorded by both "+p.By+" and "+e.By+
			": the later one stands until one is undone").about(p.ID))
	}
}

func (r *reducer) clearGroups() {
	r.state.Parties, r.unnamed = nil, map[string]int{}
	for i := range r.state.People {
		r.state.People[i].Party = ""
	}
}

// unassigned lists the people on the trail whom a split names in no group, if exactly one
// group names nobody: they walk in that one.
func (r *reducer) unassigned(e Event) []PersonID {
	var named []PersonID
	withoutNames := 0
	for _, part := range e.Parties {
		named = union(named, part.everyone())
		withoutNames += oneIf(len(part.Persons) == 0)
	}
	if withoutNames != 1 {
		return nil
	}
	var rest []PersonID
	for i := range r.state.People {
		if p := &r.state.People[i]; p.Where == WhereOut && !p.marks.missing && !slices.Contains(named, p.ID) {
			rest = append(rest, p.ID)
		}
	}
	return rest
}

func (r *reducer) addGroup(e Event, part Part) {
	people := r.people(e, part.everyone())
	for _, p := range people {
		r.assign(e, p, part.Name)
	}
	r.unnamed[part.Name] = max(0, part.Number-len(people))
	g := Group{Part: part, Since: sightingOf(e), Complete: part.Number > 0 && r.hasOwnStaff(part)}
	r.state.Parties = append(r.state.Parties, g)
	if g.Complete {
		r.flagSingleStaff(e, part)
	} else {
		r.flag(newFlag(FlagSplitUnsound, e, part.Name+
			": a party needs its own staff and its own number before it leaves "+
			PlaceWords(e.Place)).ofParty(part.Name))
	}
	r.flagNoMeeting(e, part)
	if part.Number > 0 && part.Number < len(people) {
		r.flag(newFlag(FlagNumberNames, e, fmt.Sprintf("%s: %d given as the number, but %s by name",
			part.Name, part.Number, PeopleWords(len(people))), idsOf(people)...))
	}
}

// assign puts a person in a group. Somebody named in two is flagged and stays in the first.
func (r *reducer) assign(e Event, p *Person, group string) {
	if p.Party != "" && p.Party != group {
		r.flag(newFlag(FlagTwoParties, e, p.Name+" is named in "+p.Party+" and in "+group, p.ID))
		return
	}
	if p.marks.missing {
		r.flag(newFlag(FlagContradiction, e, p.Name+" is named in "+group+", but is missing", p.ID))
		return
	}
	if p.Where != WhereOut {
		words := p.Name + " is named in " + group + ", but is " + string(p.Where)
		r.flag(newFlag(FlagContradiction, e, words, p.ID).about(p.by))
		return
	}
	p.Party, p.Last = group, sightingOf(e)
}

// hasOwnStaff reports whether the staff listed for a group are staff.
func (r *reducer) hasOwnStaff(part Part) bool {
	return slices.ContainsFunc(part.Staff, func(id PersonID) bool {
		i, known := r.index[id]
		return known && r.state.People[i].Staff
	})
}

// flagSingleStaff flags a group with only one staff member. Common practice, no source: a
// leader and a second adult in each group, and two staff if possible.
func (r *reducer) flagSingleStaff(e Event, part Part) {
	staff, adults := 0, 0
	for _, id := range part.everyone() {
		i, known := r.index[id]
		staff += oneIf(known && r.state.People[i].Staff)
		adults += oneIf(known && !r.state.People[i].Minor)
	}
	if staff >= 2 || staff == 0 {
		return
	}
	words := part.Name + ": one of staff alone; agree by name who is the second adult, or walk together"
	alone := adults < 2 && part.Number <= len(part.everyone())
	if alone {
		words = part.Name + ": one of staff and no second adult; walk together"
	}
	flag := newFlag(FlagOneStaff, e, words).ofParty(part.Name)
	flag.Grave = alone
	r.flag(flag)
}

func (r *reducer) flagNoMeeting(e Event, part Part) {
	if part.Meet != "" && !part.By.IsZero() {
		return
	}
	r.flag(newFlag(FlagNoMeeting, e, part.Name+": say where and when the parties meet again").ofParty(part.Name))
}

// rejoined checks each group's number on meeting, then the number of all.
func (r *reducer) rejoined(e Event) {
	sum, numbered := 0, true
	for _, part := range e.Parties {
		r.countGroup(e, part)
		sum += part.Number
		numbered = numbered && part.Number > 0
	}
	whole := countOf(e, "")
	whole.Leader, whole.Expected = sum, r.expected()
	if numbered {
		// If a group's own count was flagged, a flag for the whole would only repeat it.
		r.addCount(whole, e, r.hasCountFlag(e.ID))
	}
	if numbered && !whole.agrees() && len(r.state.Gaps) == 0 {
		r.addGap(whole, nil)
	}
	r.lastSplit = Event{}
	r.settleSplitFlags()
	r.clearGroups()
}

// settleSplitFlags settles the flags that mattered only while the groups were apart.
func (r *reducer) settleSplitFlags() {
	for i := range r.state.Flags {
		if f := &r.state.Flags[i]; f.Kind == FlagOneStaff || f.Kind == FlagNoMeeting {
			f.Settled = true
		}
	}
}

func (r *reducer) countGroup(e Event, part Part) {
	named := part.everyone()
	people := r.people(e, named) // first, so that everybody named is on the roll
	r.sawByName(e, people)
	if part.Number == 0 {
		r.flag(newFlag(FlagSplitUnsound, e,
			part.Name+": no number was recorded when the parties met").ofParty(part.Name))
		return
	}
	c := countOf(e, part.Name)
	c.Leader, c.Expected = part.Number, r.expectedIn(part.Name)
	r.addCount(c, e, false)
	for _, p := range people {
		p.Last = sightingOf(e)
	}
	if !c.agrees() {
		r.addGap(c, named)
	}
}

func (r *reducer) hasCountFlag(id EventID) bool {
	return slices.ContainsFunc(r.state.Flags, func(f Flag) bool {
		return f.Kind.ofCount() && slices.Contains(f.Events, id)
	})
}

// updateGroupNumbers brings the groups' expected numbers up to date.
func (r *reducer) updateGroupNumbers() {
	for i := range r.state.Parties {
		r.state.Parties[i].Expected = r.expectedIn(r.state.Parties[i].Name)
	}
}
