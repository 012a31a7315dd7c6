package roll_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
)

// fault is a mistake built into the simulation, to show that the model test finds it.
type fault string

const (
	sound            fault = ""
	storeKeepsTwice  fault = "the store keeps an id twice"
	lastWriteWins    fault = "the last write of an id wins"
	noTransaction    fault = "a kill leaves half a batch committed and answered for"
	phoneForgets     fault = "the phone forgets what it has sent, answered or not"
	newIDsOnRetry    fault = "the phone makes a new id when it sends again"
	clockNotMeasured fault = "the phone does not say when it sent"
	phoneDropsKept   fault = "the phone lets go of what was kept before it has the page"
)

// kill says where the server dies within a request.
type kill int

const (
	lives kill = iota
	beforeCommit
	duringInsert
	afterCommit
)

var errKilled = errors.New("the server died")

// memory is a roll.Store with the transactions of the real one: after a kill only rows are
// left.
type memory struct {
	hike   hike.Hike
	roster party.Roster
	rows   []party.Event
	fault  fault
	kill   kill
}

func (m *memory) Record(context.Context, ref.Hike) (roll.Record, error) {
	return roll.Record{Hike: m.hike, Roster: m.roster, Events: slices.Clone(m.rows)}, nil
}

func (m *memory) Watched(context.Context) ([]roll.Watched, error) { return nil, nil }

func (m *memory) Append(_ context.Context, _ ref.Hike, events []party.Event, now time.Time,
	rules ...roll.Rule) (roll.Record, error) {
	if m.kill == beforeCommit {
		return roll.Record{}, errKilled
	}
	if err := roll.Open(m.hike); err != nil {
		return roll.Record{}, err
	}
	rows := slices.Clone(m.rows)
	if m.fault != storeKeepsTwice && m.fault != lastWriteWins {
		var err error
		if events, err = (roll.Record{Hike: m.hike, Roster: m.roster, Events: rows}).Keep(events, rules); err != nil {
			return roll.Record{}, err
		}
	}
	for i, e := range events {
		if m.kill == duringInsert && i == len(events)/2 {
			if m.fault == noTransaction {
				m.rows = rows
				break
			}
			return roll.Record{}, errKilled
		}
		e.Recorded = now
		rows = m.insert(rows, e)
	}
	rec := roll.Record{Hike: m.hike, Roster: m.roster, Events: slices.Clone(rows)}
	rec.Move()
	m.hike, m.rows = rec.Hike, rows
	if m.kill == afterCommit {
		return roll.Record{}, errKilled
	}
	return rec, nil
}

func (m *memory) insert(rows []party.Event, e party.Event) []party.Event {
	i := slices.IndexFunc(rows, func(r party.Event) bool { return r.ID == e.ID })
	switch {
	case i < 0 || m.fault == storeKeepsTwice:
		return append(rows, e)
	case m.fault == lastWriteWins:
		rows[i] = e
	}
	return rows
}

// world is a morning: the true time, the server, the phones and the requests on their way.
type world struct {
	dice   *rand.Rand
	now    time.Time
	server *memory
	phones []*phone
	air    []request
	book   *ledger
	fault  fault
	closed bool     // the coordinator has closed the roll
	wrong  []string // what the simulation saw go wrong on the way
}

// request is a batch on its way to the server.
type request struct {
	from    *phone
	body    []byte
	ids     []party.EventID
	sent    time.Time // by the phone's clock, zero if it does not say
	arrives time.Time
}

// modelRoster is eight people, one of them a minor with a responsible adult.
func modelRoster() party.Roster {
	r := roster(8)
	r[7].Minor = true
	r[3].ResponsibleFor = []party.PersonID{r[7].ID}
	return r
}

func newWorld(seed uint64, f fault) *world {
	w := &world{dice: rand.New(rand.NewPCG(seed, 8)), now: clock(0), book: newLedger(), fault: f}
	w.server = &memory{hike: hike.Hike{State: hike.Posted, Start: clock(65)}, roster: modelRoster(), fault: f}
	for _, name := range []string{"Walker 01", "Walker 02", "Walker 03"}[:2+w.dice.IntN(2)] {
		p := &phone{world: w, name: name}
		if w.chance(60) { // the others are set by the network
			p.skew = time.Duration(w.dice.IntN(2401)-1200) * time.Second
		}
		w.phones = append(w.phones, p)
		p.look()
	}
	return w
}

func (w *world) chance(percent int) bool { return w.dice.IntN(100) < percent }

func (w *world) seconds(most int) time.Duration {
	return time.Duration(w.dice.IntN(most*1000)) * time.Millisecond
}

// pass lets time go by, so that requests on their way arrive in turn.
func (w *world) pass(by time.Duration) {
	until := w.now.Add(by)
	for {
		next := -1
		for i, r := range w.air {
			if !r.arrives.After(until) && (next < 0 || r.arrives.Before(w.air[next].arrives)) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		r := w.air[next]
		w.air = slices.Delete(w.air, next, next+1)
		w.now = r.arrives
		_, _ = w.serve(r, w.anyKill()) // the sender has stopped waiting
	}
	w.now = until
}

// anyKill kills the server in one request out of six.
func (w *world) anyKill() kill {
	if w.chance(17) {
		return beforeCommit + kill(w.dice.IntN(3))
	}
	return lives
}

// serve is the server's side of a request: the real code, up to the kill.
func (w *world) serve(r request, k kill) (roll.Receipt, error) {
	var b roll.Batch
	if err := json.Unmarshal(r.body, &b); err != nil {
		return roll.Receipt{}, err
	}
	w.server.kill = k
	rows := len(w.server.rows)
	receipt, err := roll.Receive(context.Background(), w.server, 1, b, r.from.name, w.now)
	if (k == lives || k == afterCommit) && !w.closed {
		w.book.arrived(r.ids, r.sent, w.now)
	}
	if len(w.server.rows) != rows {
		w.checkClock()
	}
	return receipt, err
}

// checkClock verifies that the watch never runs later than what was promised and reported,
// whatever is still on its way.
func (w *world) checkClock() {
	s := party.Fold(w.server.roster, w.server.rows)
	from := w.server.hike.Start
	if !s.Departed.IsZero() {
		from = s.Departed
	}
	if late, bound := from.Add(s.Delay), w.book.bound(w.server.hike.Start); late.After(bound) {
		w.wrong = append(w.wrong, fmt.Sprintf("the watch runs from %s, past %s", late, bound))
	}
}

// settle ends the morning: everybody has signal until nothing waits.
func (w *world) settle() {
	w.pass(2 * time.Minute)
	for _, p := range w.phones {
		p.darkUntil = time.Time{}
		for try := 0; p.waits() > 0; try++ {
			if try > modelSteps {
				w.wrong = append(w.wrong, p.name+" cannot get rid of its records")
				break
			}
			p.exchange(lives)
			w.pass(time.Second)
		}
	}
	for _, p := range w.phones {
		p.look()
	}
}
