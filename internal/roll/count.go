package roll

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// record is an event as the fold applies it: a count may stand for two events.
type record struct {
	Event
	with EventID
}

// pairCounts joins the leader's number and the sweep's, recorded apart at one place, into
// one count. Other events stay as they are.
func pairCounts(events []Event) []record {
	out := make([]record, 0, len(events))
	for _, e := range events {
		if i := partner(out, e); i >= 0 {
			out[i] = merged(out[i], e)
			continue
		}
		out = append(out, record{Event: e})
	}
	return out
}

// partner finds the latest count that lacks just the number that e gives.
func partner(before []record, e Event) int {
	if e.Kind != KindCounted {
		return -1
	}
	for i := len(before) - 1; i >= 0 && e.At.Sub(before[i].At) <= sameThing; i-- {
		b := before[i].Event
		if changesNumber(b.Kind) || b.Kind == KindCounted && b.By == e.By {
			return -1 // the number expected, or the mind of who counts, may have changed
		}
		if b.Kind == KindCounted && halves(b, e) && samePlace(b, e) {
			return i
		}
	}
	return -1
}

func changesNumber(k Kind) bool {
	switch k {
	case KindDeparted, KindJoined, KindLeftEarly, KindAtCar, KindHandedOver, KindSplit, KindRejoined:
		return true
	}
	return false
}

// halves reports whether one event has the leader's number alone and the other the sweep's.
func halves(a, b Event) bool {
	return a.Sweep == 0 && b.Number == 0 && a.Number > 0 && b.Sweep > 0 ||
		a.Number == 0 && b.Sweep == 0 && a.Sweep > 0 && b.Number > 0
}

func samePlace(a, b Event) bool {
	return a.Party == b.Party && strings.EqualFold(strings.TrimSpace(a.Place), strings.TrimSpace(b.Place))
}

func merged(a record, b Event) record {
	a.Number, a.Sweep = max(a.Number, b.Number), max(a.Sweep, b.Sweep)
	a.Persons = union(a.Persons, b.Persons)
	a.By += " and " + b.By
	a.with = b.ID
	return a
}

// counted judges a headcount against the roll at that moment.
func (f *reducer) counted(r record) {
	e := r.Event
	c := Count{At: e.At, Place: e.Place, Along: e.Along, Party: e.Party, Leader: e.Number, Sweep: e.Sweep,
		Expected: f.expectedIn(e.Party), Events: []EventID{e.ID}}
	if r.with != "" {
		c.Events = append(c.Events, r.with)
	}
	named := f.people(e, e.Persons)
	f.judge(c, e, false)
	for _, p := range named {
		p.Last = seen(e)
	}
	if !c.agrees() {
		f.short(c, e.Persons)
	}
}

// agrees reports whether every number given is the one expected.
func (c Count) agrees() bool {
	return (c.Leader > 0 || c.Sweep > 0) &&
		(c.Leader == 0 || c.Leader == c.Expected) && (c.Sweep == 0 || c.Sweep == c.Expected)
}

// lowest returns the smaller of the numbers given.
func (c Count) lowest() int {
	if c.Leader == 0 || c.Sweep > 0 && c.Sweep < c.Leader {
		return c.Sweep
	}
	return c.Leader
}

// judge keeps a count, flags what is wrong with it unless quiet, and lets one that agrees
// vouch for its people and settle earlier flags.
func (f *reducer) judge(c Count, e Event, quiet bool) {
	c.Agrees = c.agrees()
	f.state.Counts = append(f.state.Counts, c)
	if c.Agrees {
		f.vouch(c, e)
		return
	}
	if !quiet {
		f.flagCount(c, e)
	}
}

func (f *reducer) flagCount(c Count, e Event) {
	who := partyWord(c.Party)
	add := func(k FlagKind, n int) {
		flag := newFlag(k, e, fmt.Sprintf("%s%d counted at %s, %d expected", who, n, at(c.Place), c.Expected)).about(c.Events...)
		flag.Party = c.Party
		f.flag(flag)
	}
	if low := c.lowest(); low < c.Expected {
		add(FlagCountLow, low)
	}
	if high := max(c.Leader, c.Sweep); high > c.Expected {
		add(FlagCountHigh, high)
	}
	if c.Leader > 0 && c.Sweep > 0 && c.Leader != c.Sweep {
		flag := newFlag(FlagCountsDiffer, e, fmt.Sprintf("%sat %s the leader counted %d and the sweep %d: count again by name",
			who, at(c.Place), c.Leader, c.Sweep)).about(c.Events...)
		flag.Party = c.Party
		f.flag(flag)
	}
}

func partyWord(party string) string {
	if party == "" {
		return ""
	}
	return party + ": "
}

// vouch lets a count that agrees speak for everyone in it.
func (f *reducer) vouch(c Count, e Event) {
	for i := range f.state.People {
		if p := &f.state.People[i]; f.counts(p, c.Party) {
			p.Last = Seen{At: c.At, Place: c.Place, Along: c.Along, Event: e.ID}
		}
	}
	for i := range f.state.Flags {
		if flag := &f.state.Flags[i]; flag.Kind.ofCount() && (c.Party == "" || c.Party == flag.Party) {
			flag.Settled = true
		}
	}
	f.state.Gaps = slices.DeleteFunc(f.state.Gaps, func(g Gap) bool { return c.Party == "" || g.Party == c.Party })
}

// counts reports whether the person is one of those whom a count of the party counts.
// Before the departure those are the people at the trailhead.
func (f *reducer) counts(p *Person, party string) bool {
	if len(f.departs) == 0 {
		return p.Where == WhereHere
	}
	return p.marks.with() && (party == "" || p.Party == party)
}

// expected is the number that a count of everyone should give now.
func (f *reducer) expected() int {
	if len(f.departs) == 0 {
		return len(f.here())
	}
	f.numbers()
	return f.state.Expected
}

// expectedIn is the number that a count of one party should give now.
func (f *reducer) expectedIn(party string) int {
	if party == "" {
		return f.expected()
	}
	n := f.extra[party]
	for i := range f.state.People {
		n += tick(f.counts(&f.state.People[i], party))
	}
	return n
}

// short keeps where to look for those whom a low count lacks.
func (f *reducer) short(c Count, named []PersonID) {
	if c.lowest() >= c.Expected {
		return
	}
	g := Gap{Short: c.Expected - c.lowest(), Of: c.Expected, Party: c.Party, Since: f.lastAgreed(c.Party)}
	for i := range f.state.People {
		if p := &f.state.People[i]; f.counts(p, c.Party) && !slices.Contains(named, p.ID) {
			g.Candidates = append(g.Candidates, p.ID)
		}
	}
	f.state.Gaps = append(slices.DeleteFunc(f.state.Gaps, func(old Gap) bool { return old.Party == c.Party }), g)
}

// lastAgreed finds the last place where the number of a party was right: its own count or
// one of everyone.
func (f *reducer) lastAgreed(party string) Seen {
	for _, c := range slices.Backward(f.state.Counts) {
		if c.Agrees && (c.Party == "" || c.Party == party) {
			return Seen{At: c.At, Place: c.Place, Along: c.Along, Event: c.Events[0]}
		}
	}
	return Seen{}
}

// closeGaps drops those who have been accounted for since, and gaps that name nobody else.
func (f *reducer) closeGaps() {
	kept := f.state.Gaps[:0]
	for _, g := range f.state.Gaps {
		before := len(g.Candidates)
		g.Candidates = slices.DeleteFunc(g.Candidates, func(id PersonID) bool {
			return f.state.People[f.index[id]].Where.Accounted()
		})
		if before == 0 || len(g.Candidates) > 0 {
			kept = append(kept, g)
		}
	}
	f.state.Gaps = kept
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
