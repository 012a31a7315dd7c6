package party

import (
	"fmt"
	"slices"
	"strings"
)

// record is an event as the fold applies it: a count may combine two events.
type record struct {
	Event
	with EventID // the second event of a count
}

// pairCounts joins the leader's number and the sweep's into one count if they were recorded
// separately at one place. Other events stay as they are.
func pairCounts(events []Event) []record {
	out := make([]record, 0, len(events))
	for _, e := range events {
		if i := findOtherHalf(out, e); i >= 0 {
			out[i] = merge(out[i], e)
			continue
		}
		out = append(out, record{Event: e})
	}
	return out
}

// findOtherHalf finds the latest count that lacks just the number that e gives, -1 for
// none.
func findOtherHalf(before []record, e Event) int {
	if e.Kind != KindCounted {
		return -1
	}
	for i := len(before) - 1; i >= 0 && e.At.Sub(before[i].At) <= sameThing; i-- {
		b := before[i].Event
		if changesNumber(b.Kind) || b.Kind == KindCounted && b.By == e.By {
			return -1 // the expected number may have changed, or the counter corrected it
		}
		if b.Kind == KindCounted && areHalves(b, e) && samePlace(b, e) {
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

// areHalves reports whether one event has only the leader's number and the other only the
// sweep's.
func areHalves(a, b Event) bool {
	return a.Sweep == 0 && b.Number == 0 && a.Number > 0 && b.Sweep > 0 ||
		a.Number == 0 && b.Sweep == 0 && a.Sweep > 0 && b.Number > 0
}

func samePlace(a, b Event) bool {
	return a.Party == b.Party && strings.EqualFold(strings.TrimSpace(a.Place), strings.TrimSpace(b.Place))
}

func merge(a record, b Event) record {
	a.Number, a.Sweep = max(a.Number, b.Number), max(a.Sweep, b.Sweep)
	a.Persons = union(a.Persons, b.Persons)
	a.By += " and " + b.By
	a.with = b.ID
	return a
}

// counted checks a headcount against the roll at that moment.
func (r *reducer) counted(rec record) {
	e := rec.Event
	c := countOf(e, e.Party)
	c.Leader, c.Sweep, c.Expected = e.Number, e.Sweep, r.expectedIn(e.Party)
	if rec.with != "" {
		c.Events = append(c.Events, rec.with)
	}
	named := r.people(e, e.Persons)
	r.sawByName(e, named)
	c.Expected = r.expectedIn(e.Party)
	r.addCount(c, e, false)
	for _, p := range named {
		p.Last = sightingOf(e)
	}
	if !c.agrees() {
		r.addGap(c, e.Persons)
	}
}

// countOf starts a count of one party, or of everyone, from an event.
func countOf(e Event, party string) Count {
	return Count{At: e.At, Place: e.Place, Along: e.Along, Party: party, Events: []EventID{e.ID}}
}

// agrees reports whether every number given is the expected one.
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

// addCount keeps a count. One that agrees confirms where its people are and settles earlier
// flags; one that does not is flagged, unless quiet.
func (r *reducer) addCount(c Count, e Event, quiet bool) {
	c.Agrees = c.agrees()
	r.state.Counts = append(r.state.Counts, c)
	if c.Agrees {
		r.confirm(c, e)
		return
	}
	if !quiet {
		r.flagCount(c, e)
	}
}

func (r *reducer) flagCount(c Count, e Event) {
	prefix := ""
	if c.Party != "" {
		prefix = c.Party + ": "
	}
	add := func(k FlagKind, words string) {
		r.flag(newFlag(k, e, prefix+words).about(c.Events...).ofParty(c.Party))
	}
	place := PlaceWords(c.Place)
	if low := c.lowest(); low < c.Expected {
		add(FlagCountLow, fmt.Sprintf("%d counted at %s, %d expected", low, place, c.Expected))
	}
	if high := max(c.Leader, c.Sweep); high > c.Expected {
		add(FlagCountHigh, fmt.Sprintf("%d counted at %s, %d expected", high, place, c.Expected))
	}
	if c.Leader > 0 && c.Sweep > 0 && c.Leader != c.Sweep {
		add(FlagCountsDiffer, fmt.Sprintf("at %s the leader counted %d and the sweep %d: count again by name",
			place, c.Leader, c.Sweep))
	}
}

// confirm applies a count that agrees: everyone in it was seen there, and earlier flags and
// gaps of the same people are settled.
func (r *reducer) confirm(c Count, e Event) {
	for i := range r.state.People {
		if p := &r.state.People[i]; r.isCounted(p, c.Party) {
			p.Last = Sighting{At: c.At, Place: c.Place, Along: c.Along, Event: e.ID}
		}
	}
	for i := range r.state.Flags {
		if flag := &r.state.Flags[i]; flag.Kind.ofCount() && (c.Party == "" || c.Party == flag.Party) {
			flag.Settled = true
		}
	}
	r.state.Gaps = slices.DeleteFunc(r.state.Gaps, func(g Gap) bool {
		return c.Party == "" || g.Party == c.Party
	})
}

// isCounted reports whether a count of the party includes the person. Before the departure
// a count includes the people at the trailhead.
func (r *reducer) isCounted(p *Person, party string) bool {
	if len(r.departs) == 0 {
		return p.Where == WhereHere
	}
	return p.marks.with() && (party == "" || p.Party == party)
}

// expected is the number that a count of everyone should give now.
func (r *reducer) expected() int {
	if len(r.departs) == 0 {
		return len(r.here())
	}
	r.updateNumbers()
	return r.state.Expected
}

// expectedIn is the number that a count of one party should give now.
func (r *reducer) expectedIn(party string) int {
	if party == "" {
		return r.expected()
	}
	n := r.unnamed[party]
	for i := range r.state.People {
		n += oneIf(r.isCounted(&r.state.People[i], party))
	}
	return n
}

// addGap notes where to look for the people that a low count lacks.
func (r *reducer) addGap(c Count, named []PersonID) {
	if c.lowest() >= c.Expected {
		return
	}
	g := Gap{Short: c.Expected - c.lowest(), Of: c.Expected, Party: c.Party, Since: r.lastAgreed(c.Party)}
	for i := range r.state.People {
		if p := &r.state.People[i]; r.isCounted(p, c.Party) && !slices.Contains(named, p.ID) {
			g.Candidates = append(g.Candidates, p.ID)
		}
	}
	others := slices.DeleteFunc(r.state.Gaps, func(old Gap) bool { return old.Party == c.Party })
	r.state.Gaps = append(others, g)
}

// lastAgreed finds the last place where the number of a party was right, by a count of its
// own or one of everyone.
func (r *reducer) lastAgreed(party string) Sighting {
	for _, c := range slices.Backward(r.state.Counts) {
		if c.Agrees && (c.Party == "" || c.Party == party) {
			return Sighting{At: c.At, Place: c.Place, Along: c.Along, Event: c.Events[0]}
		}
	}
	return Sighting{}
}

// closeGaps drops candidates who have been accounted for since, and gaps that had
// candidates and have none left.
func (r *reducer) closeGaps() {
	open := r.state.Gaps[:0]
	for _, g := range r.state.Gaps {
		before := len(g.Candidates)
		g.Candidates = slices.DeleteFunc(g.Candidates, func(id PersonID) bool {
			return r.state.People[r.index[id]].Where.Accounted()
		})
		if before == 0 || len(g.Candidates) > 0 {
			open = append(open, g)
		}
	}
	r.state.Gaps = open
}

// GapOf returns what is known of the people whom a low count lacks, if the flag is about one.
func (s State) GapOf(f Flag) (Gap, bool) {
	for _, g := range s.Gaps {
		if f.Kind == FlagCountLow && g.Party == f.Party {
			return g, true
		}
	}
	return Gap{}, false
}

// GapWords says whom a low count lacks and where to look first, without times.
func (s State) GapWords(g Gap) string {
	const missingFrom = "Missing from this count: "
	words := ""
	switch names := s.Names(g.Candidates); {
	case len(names) == 0:
	case len(names) <= g.Short:
		words = missingFrom + list(names) + ". "
	default:
		words = fmt.Sprintf("%s%d of %s. ", missingFrom, g.Short, listAnd(names))
	}
	way := "Look first along " + PartyWords(g.Party) + "'s route"
	if g.Since.At.IsZero() {
		return words + way + "; no earlier count was right."
	}
	return words + way + " since " + PlaceWords(g.Since.Place) + "."
}
