package roll_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/roll"
)

// entry is one event in a phone's queue, as the script keeps it.
type entry struct {
	event party.Event
	state string // "waits", "sent" or "refused"
}

// phone behaves like the scripts of the roll: an event is queued before anything is shown,
// the queue is sent in batches from the oldest, and an event leaves the queue when the
// server's page shows it.
type phone struct {
	world     *world
	name      string
	skew      time.Duration
	darkUntil time.Time
	entries   []entry
	known     map[party.EventID]bool // what the page shows
	served    []party.Event          // what the page is made from
	ahead     time.Duration          // to add to its own times, by the last contact
}

// clock is the phone's own time, in whole milliseconds as the script writes it.
func (p *phone) clock() time.Time { return p.world.now.Add(p.skew).Truncate(time.Millisecond) }

func (p *phone) dark() bool { return p.world.now.Before(p.darkUntil) }

func (p *phone) waits() int {
	n := 0
	for _, e := range p.entries {
		n += tick(e.state == "waits")
	}
	return n
}

// look loads the server's page and drops the sent events that it shows.
func (p *phone) look() {
	if p.dark() {
		return
	}
	p.known, p.served = map[party.EventID]bool{}, slices.Clone(p.world.server.rows)
	p.ahead = party.ClockOffset(p.clock(), p.world.now)
	for _, e := range p.served {
		p.known[e.ID] = true
	}
	p.entries = slices.DeleteFunc(p.entries, func(e entry) bool { return e.state == "sent" && p.known[e.event.ID] })
}

// view folds what the page is made from and the phone's own events, as the phone's program does.
func (p *phone) view() map[party.PersonID]party.Whereabouts {
	events := slices.Clone(p.served)
	for _, e := range p.overlay() {
		events = append(events, e.Corrected(p.ahead))
	}
	where := map[party.PersonID]party.Whereabouts{}
	for _, person := range party.Fold(p.world.server.roster, events).People {
		where[person.ID] = person.Where
	}
	return where
}

// overlay lists the events that the page does not show.
func (p *phone) overlay() []party.Event {
	var list []party.Event
	for _, e := range p.entries {
		if e.state == "refused" || p.known[e.event.ID] {
			continue
		}
		e.event.By = p.name
		list = append(list, e.event)
	}
	return list
}

// exchange sends one batch and reads the answer, if there is one.
func (p *phone) exchange(k kill) {
	r, sent := p.request(50)
	if len(sent) == 0 {
		return
	}
	receipt, err := p.world.serve(r, k)
	if err == nil {
		p.receive(receipt)
	}
}

// try is exchange on a trail: there is no signal, or the request is lost, delayed or
// doubled, or the server dies, or the answer is lost.
func (p *phone) try() {
	if p.dark() {
		return
	}
	r, sent := p.request(1 + p.world.dice.IntN(12))
	if len(sent) == 0 {
		return
	}
	w := p.world
	// The phone gives up after half a minute, but the request may still arrive.
	r.arrives = w.now.Add(w.seconds(60))
	switch w.dice.IntN(8) {
	case 0: // lost
	case 1:
		w.air = append(w.air, r)
	case 2:
		w.air = append(w.air, r)
		p.answered(r, w.anyKill(), true)
	case 3: // the answer is lost
		p.answered(r, w.anyKill(), false)
	default:
		p.answered(r, w.anyKill(), true)
	}
	if w.fault == phoneForgets {
		p.entries = slices.DeleteFunc(p.entries, func(e entry) bool { return slices.Contains(sent, e.event.ID) })
	}
	if w.fault == newIDsOnRetry {
		p.renew()
	}
}

func (p *phone) answered(r request, k kill, heard bool) {
	receipt, err := p.world.serve(r, k)
	if err == nil && heard {
		p.receive(receipt)
	}
}

// request makes a batch of the waiting events, the oldest first, at most limit of them.
func (p *phone) request(limit int) (request, []party.EventID) {
	var events []json.RawMessage
	var ids []party.EventID
	for _, e := range p.entries {
		if e.state == "waits" && len(events) < limit {
			raw, err := json.Marshal(e.event)
			if err != nil {
				panic(err) // the simulation makes no such event
			}
			events, ids = append(events, raw), append(ids, e.event.ID)
		}
	}
	b := roll.Batch{SentAt: p.clock(), Events: events}
	if p.world.fault == clockNotMeasured {
		b.SentAt = time.Time{}
	}
	body, err := json.Marshal(b)
	if err != nil {
		panic(err)
	}
	return request{from: p, body: body, ids: ids, sent: p.clock()}, ids
}

// receive reads the server's answer.
func (p *phone) receive(r roll.Receipt) {
	refused := map[party.EventID]bool{}
	for _, one := range r.Refused {
		refused[one.ID] = true
	}
	for i := range p.entries {
		e := &p.entries[i]
		switch {
		case slices.Contains(r.Kept, e.event.ID):
			e.state = "sent"
		case refused[e.event.ID]:
			e.state = "refused"
		}
	}
	if p.world.fault == phoneDropsKept {
		p.entries = slices.DeleteFunc(p.entries, func(e entry) bool { return e.state == "sent" })
	}
}

// renew is the fault newIDsOnRetry: waiting events get new IDs.
func (p *phone) renew() {
	for i := range p.entries {
		if e := &p.entries[i]; e.state == "waits" {
			before := p.world.book.made[p.world.book.index[e.event.ID]]
			e.event.ID = p.world.newEventID()
			before.event.ID = e.event.ID
			p.world.book.index[e.event.ID] = p.world.book.index[before.event.ID]
			p.world.book.make(before)
		}
	}
}

func (w *world) newEventID() party.EventID {
	return party.EventID(fmt.Sprintf("%08x-0000-4000-9000-%012x", w.dice.Uint32(), len(w.book.made)))
}
