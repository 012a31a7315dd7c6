package roll_test

import (
	"saltbush/internal/party"
	"slices"
	"strings"
	"time"
)

// ledger is the reference of the model test: every event ever made, as the simulation knows
// it, and a plain fold of them that shares no code with party.Fold.
type ledger struct {
	made  []made
	index map[party.EventID]int
}

// made is one event with the true time of what happened and the time by the server's clock.
type made struct {
	event    party.Event
	by       string
	truth    time.Time
	bad      bool      // the server must refuse it
	kept     bool      // some request with it was committed
	stored   time.Time // its time as the server keeps it
	reckoned time.Time // its time on the server's clock, by the first such request
}

func newLedger() *ledger { return &ledger{index: map[party.EventID]int{}} }

func (l *ledger) make(m made) {
	l.index[m.event.ID] = len(l.made)
	l.made = append(l.made, m)
}

// arrived notes a committed request. If the phone's clock is more than two minutes off, the
// difference between sending and receipt corrects its events.
func (l *ledger) arrived(ids []party.EventID, sent, received time.Time) {
	off := received.Sub(sent)
	if off > -2*time.Minute-time.Nanosecond && off < 2*time.Minute+time.Nanosecond {
		off = 0
	}
	for _, id := range ids {
		m := &l.made[l.index[id]]
		if !m.kept && !m.bad {
			m.kept, m.reckoned = true, m.event.At.Add(off)
			m.stored = m.reckoned
			if m.reckoned.After(received) { // the server's clock decides
				m.reckoned = received
			}
		}
	}
}

// outcome is where everybody is, and what the watch clocks depend on.
type outcome struct {
	Where                       map[party.PersonID]string
	Names                       map[party.PersonID]string // empty for unknown people
	Departed, Trouble, StoodOff time.Time
	Delay                       time.Duration
	Unnamed                     int
	Searched                    bool // a search may have called for help before a report did
	State                       string
}

// moves lists the transitions: kind, from, to. Back and handed over apply from anywhere.
const moves = `here expected here; here absent here; here turned here; absent expected absent;
	turned-away expected turned; turned-away here turned; turned-away absent turned;
	departed expected out; departed here out; departed absent out; departed turned out;
	left-early out left; left-early expected left; left-early here left; at-car left car; at-car out car`

// table parses moves.
func table() map[[2]string]string {
	t := map[[2]string]string{}
	for _, row := range strings.Split(moves, ";") {
		f := strings.Fields(row)
		t[[2]string{f[0], f[1]}] = f[2]
	}
	return t
}

// effective sorts the kept events by their time on the server's clock and leaves out those
// undone.
func (l *ledger) effective() []made {
	undos := map[party.EventID][]party.EventID{}
	for _, m := range l.made {
		if m.kept && m.event.Kind == party.KindUndone {
			undos[m.event.Retracts] = append(undos[m.event.Retracts], m.event.ID)
		}
	}
	var undone func(party.EventID) bool
	undone = func(id party.EventID) bool {
		return slices.ContainsFunc(undos[id], func(by party.EventID) bool { return !undone(by) })
	}
	var list []made
	for _, m := range l.made {
		if m.kept && m.event.Kind != party.KindUndone && !undone(m.event.ID) {
			list = append(list, m)
		}
	}
	slices.SortFunc(list, func(a, b made) int {
		if c := a.reckoned.Compare(b.reckoned); c != 0 {
			return c
		}
		return strings.Compare(string(a.event.ID), string(b.event.ID))
	})
	return list
}

// reckon is the plain fold.
func (l *ledger) reckon(roster party.Roster, rules map[[2]string]string) outcome {
	o := outcome{Where: map[party.PersonID]string{}, Names: map[party.PersonID]string{}}
	for _, e := range roster {
		o.Where[e.ID], o.Names[e.ID] = "expected", e.Name
	}
	list := l.effective()
	for _, m := range list {
		if m.event.Kind == party.KindJoined && o.Names[m.event.Persons[0]] == "" {
			o.Names[m.event.Persons[0]] = m.event.Name
		}
	}
	named := slices.ContainsFunc(list,
		func(m made) bool { return m.event.Kind == party.KindDeparted && len(m.event.Persons) > 0 })
	out, number := map[party.PersonID]bool{}, 0
	var delays []made
	for _, m := range list {
		who := append(slices.Clone(m.event.Persons), m.event.Buddies...)
		for _, part := range m.event.Parties {
			for _, id := range append(slices.Clone(part.Staff), part.Persons...) {
				o.meet(id)
			}
		}
		switch m.event.Kind {
		case party.KindDeparted:
			number = max(number, m.event.Number)
			if o.Departed.IsZero() {
				o.Departed = m.reckoned
			}
			if !named {
				who = o.at("here")
			}
			for _, id := range who {
				out[id] = true
			}
		case party.KindReported:
			o.call(m.event.Trouble, m.reckoned)
		case party.KindUnwell: // the model's only sign is confusion
			o.call(true, m.reckoned)
		case party.KindMissing:
			o.Searched = true
		case party.KindStoodDown:
			o.StoodOff = m.reckoned
		case party.KindDelayed:
			delays = append(delays, m)
		}
		for _, id := range who {
			o.meet(id)
			o.Where[id] = o.next(rules, m.event.Kind, o.Where[id])
		}
	}
	o.Unnamed = max(0, number-len(out))
	o.Delay = delayOf(delays, o.Departed)
	o.State = o.state()
	return o
}

func (o *outcome) call(is bool, at time.Time) {
	if is && o.Trouble.IsZero() {
		o.Trouble = at
	}
}

func (o outcome) meet(id party.PersonID) {
	if o.Where[id] == "" {
		o.Where[id] = "expected"
		if _, named := o.Names[id]; !named {
			o.Names[id] = ""
		}
	}
}

func (o outcome) at(where string) []party.PersonID {
	var list []party.PersonID
	for id, w := range o.Where {
		if w == where {
			list = append(list, id)
		}
	}
	return list
}

func (o outcome) next(rules map[[2]string]string, kind party.Kind, from string) string {
	switch {
	case kind == party.KindBack:
		return "back"
	case kind == party.KindHandedOver:
		return "handed"
	case kind == party.KindJoined && !o.Departed.IsZero():
		return "out"
	case kind == party.KindJoined:
		kind = party.KindHere
	}
	if to := rules[[2]string{string(kind), from}]; to != "" {
		return to
	}
	return from
}

// delayOf sums the delays since the departure. Of two by different people within a quarter
// of an hour the longer counts.
func delayOf(list []made, departed time.Time) time.Duration {
	sum, base, longest, by := 0, time.Time{}, 0, ""
	for _, m := range list {
		if departed.IsZero() || m.reckoned.Before(departed) {
			continue
		}
		if by != "" && m.by != by && m.reckoned.Sub(base) <= 15*time.Minute {
			sum += max(0, m.event.Minutes-longest)
			longest = max(longest, m.event.Minutes)
			continue
		}
		sum, base, longest, by = sum+m.event.Minutes, m.reckoned, m.event.Minutes, m.by
	}
	return time.Duration(sum) * time.Minute
}

// state is the state of the hike. Somebody whose whereabouts are not known is not safe.
func (o outcome) state() string {
	open := len(o.at("expected")) + len(o.at("here")) + len(o.at("out")) + len(o.at("left")) + o.Unnamed
	switch {
	case o.Departed.IsZero():
		return "posted"
	case open == 0:
		return "back"
	}
	return "out"
}

// bound is the latest that the watch may run to, whatever is lost on the way: the latest of
// the schedule and all departures ever recorded, plus all delays ever recorded.
func (l *ledger) bound(scheduled time.Time) time.Time {
	from, by := scheduled, 0
	for _, m := range l.made {
		if m.event.Kind == party.KindDeparted && m.kept && m.reckoned.After(from) {
			from = m.reckoned
		}
		by += m.event.Minutes * tick(m.event.Kind == party.KindDelayed)
	}
	return from.Add(time.Duration(by) * time.Minute)
}

func tick(is bool) int {
	if is {
		return 1
	}
	return 0
}
