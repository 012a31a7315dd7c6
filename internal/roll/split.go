package roll

import (
	"fmt"
	"slices"
)

// split makes parties. A split of a party lists all the parties from then on. A party
// without its own staff and number is flagged here and now, not when they meet again.
func (f *reducer) split(e Event) {
	f.splitTwice(e)
	f.unparty()
	rest := f.rest(e)
	sum, sound := 0, true
	for _, part := range e.Parties {
		if len(part.Persons) == 0 && len(rest) > 0 {
			part.Persons, rest = rest, nil
		}
		f.party(e, part)
		sum += part.Number
		sound = sound && part.Number > 0
	}
	if sound {
		f.judge(Count{At: e.At, Place: e.Place, Along: e.Along, Leader: sum, Expected: f.expected(), Events: []EventID{e.ID}}, e, false)
	}
}

// splitTwice keeps two records of one split in sight: the later stands, not in silence.
func (f *reducer) splitTwice(e Event) {
	if p := f.parted; p.ID != "" && p.By != e.By && e.At.Sub(p.At) <= sameThing {
		f.flag(newFlag(FlagDuplicate, e, "a split recorded by both "+p.By+" and "+e.By+": the later one stands until one is undone").about(p.ID))
	}
	f.parted = e
}

func (f *reducer) unparty() {
	f.state.Parties, f.extra = nil, map[string]int{}
	for i := range f.state.People {
		f.state.People[i].Party = ""
	}
}

// rest lists who is in no party by name, if just one party names nobody: they walk in it.
func (f *reducer) rest(e Event) []PersonID {
	var named []PersonID
	unnamed := 0
	for _, part := range e.Parties {
		named = union(named, part.everyone())
		unnamed += tick(len(part.Persons) == 0)
	}
	if unnamed != 1 {
		return nil
	}
	var rest []PersonID
	for i := range f.state.People {
		if p := &f.state.People[i]; p.Where == WhereOut && !slices.Contains(named, p.ID) {
			rest = append(rest, p.ID)
		}
	}
	return rest
}

func (f *reducer) party(e Event, part Part) {
	people := f.people(e, part.everyone())
	for _, p := range people {
		f.enter(e, p, part.Name)
	}
	f.extra[part.Name] = max(0, part.Number-len(people))
	party := Party{Part: part, Since: seen(e), Sound: f.sound(part)}
	f.state.Parties = append(f.state.Parties, party)
	if !party.Sound {
		flag := newFlag(FlagSplitUnsound, e, part.Name+": a party needs its own staff and its own number before it leaves "+at(e.Place))
		flag.Party = part.Name
		f.flag(flag)
	} else {
		f.thin(e, part)
	}
	f.unmet(e, part)
	if part.Number > 0 && part.Number < len(people) {
		f.flag(newFlag(FlagNumberNames, e, fmt.Sprintf("%s: %d given as the number, but %s by name",
			part.Name, part.Number, plural(len(people), "person", "people")), ids(people)...))
	}
}

// enter puts a person in a party. Being named in two is flagged; the first stands.
func (f *reducer) enter(e Event, p *Person, party string) {
	if p.Party != "" && p.Party != party {
		f.flag(newFlag(FlagTwoParties, e, p.Name+" is named in "+p.Party+" and in "+party, p.ID))
		return
	}
	if p.Where != WhereOut {
		f.flag(newFlag(FlagContradiction, e, p.Name+" is named in "+party+", but is "+string(p.Where), p.ID).about(p.by))
		return
	}
	p.Party, p.Last = party, seen(e)
}

// sound reports whether the party has a number and staff of its own.
func (f *reducer) sound(part Part) bool {
	for _, id := range part.Staff {
		if i, known := f.index[id]; known && f.state.People[i].Staff && part.Number > 0 {
			return true
		}
	}
	return false
}

// thin flags a party that has one of staff alone. The trade asks for a leader and a second
// adult in each part, and for two staff where it can be had.
func (f *reducer) thin(e Event, part Part) {
	staff, adults := 0, 0
	for _, id := range part.everyone() {
		i, known := f.index[id]
		staff += tick(known && f.state.People[i].Staff)
		adults += tick(known && !f.state.People[i].Minor)
	}
	if staff >= 2 || staff == 0 {
		return
	}
	words := part.Name + ": one of staff alone; agree by name who is the second adult, or walk together"
	if adults < 2 && part.Number <= len(part.everyone()) {
		words = part.Name + ": one of staff and no second adult; walk together"
	}
	flag := newFlag(FlagOneStaff, e, words)
	flag.Party, flag.Grave = part.Name, adults < 2 && part.Number <= len(part.everyone())
	f.flag(flag)
}

func (f *reducer) unmet(e Event, part Part) {
	if part.Meet != "" && !part.By.IsZero() {
		return
	}
	flag := newFlag(FlagNoMeeting, e, part.Name+": say where and when the parties meet again")
	flag.Party = part.Name
	f.flag(flag)
}

// rejoined judges each party's number on meeting, then the number of all.
func (f *reducer) rejoined(e Event) {
	sum, all := 0, true
	for _, part := range e.Parties {
		f.meet(e, part)
		sum += part.Number
		all = all && part.Number > 0
	}
	whole := Count{At: e.At, Place: e.Place, Along: e.Along, Leader: sum, Expected: f.expected(), Events: []EventID{e.ID}}
	if all {
		// The parties' own flags say where it is wrong.
		f.judge(whole, e, f.hasFlag(e.ID))
	}
	if all && !whole.agrees() && len(f.state.Gaps) == 0 {
		f.short(whole, nil)
	}
	f.parted = Event{}
	f.together()
	f.unparty()
}

// together settles what only mattered while the parties were apart.
func (f *reducer) together() {
	for i := range f.state.Flags {
		if fl := &f.state.Flags[i]; fl.Kind == FlagOneStaff || fl.Kind == FlagNoMeeting {
			fl.Settled = true
		}
	}
}

func (f *reducer) meet(e Event, part Part) {
	named := part.everyone()
	people := f.people(e, named) // before all else: whoever is named stays on the roll
	if part.Number == 0 {
		flag := newFlag(FlagSplitUnsound, e, part.Name+": no number was recorded when the parties met")
		flag.Party = part.Name
		f.flag(flag)
		return
	}
	c := Count{At: e.At, Place: e.Place, Along: e.Along, Party: part.Name, Leader: part.Number,
		Expected: f.expectedIn(part.Name), Events: []EventID{e.ID}}
	f.judge(c, e, false)
	for _, p := range people {
		p.Last = seen(e)
	}
	if !c.agrees() {
		f.short(c, named)
	}
}

func (f *reducer) hasFlag(id EventID) bool {
	return slices.ContainsFunc(f.state.Flags, func(fl Flag) bool { return fl.Kind.ofCount() && hasEvent(fl.Events, id) })
}

// partyNumbers brings the parties' expected numbers up to date.
func (f *reducer) partyNumbers() {
	for i := range f.state.Parties {
		f.state.Parties[i].Expected = f.expectedIn(f.state.Parties[i].Name)
	}
}
