package roll

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/party"
	"saltbush/internal/ref"
)

// Batch is what a device sends: its events, with its own IDs and times, and the time by its
// clock at which it sent them.
type Batch struct {
	SentAt time.Time         `json:"sent_at"`
	Events []json.RawMessage `json:"events"`
}

// Receipt answers a batch event by event, so that a wrong event does not block the others.
type Receipt struct {
	// Kept are on disk, from this batch or an earlier one.
	Kept    []party.EventID `json:"kept"`
	Refused []Refused       `json:"refused"`
	// At is the server's time.
	At time.Time `json:"at"`
}

// Refused is one event that was not stored, and why, in words for whoever recorded it.
type Refused struct {
	ID  party.EventID `json:"id"`
	Why string        `json:"why"`
}

// Receive stores a batch recorded by by. It is idempotent: a batch that is sent twice, or
// whose answer was lost, changes nothing more.
func Receive(
	ctx context.Context, store Store, id ref.Hike, b Batch, by string, now time.Time,
) (Receipt, error) {
	answer := Receipt{Kept: []party.EventID{}, Refused: []Refused{}, At: now}
	events := answer.read(b, by, party.ClockOffset(b.SentAt, now))
	if len(events) == 0 {
		return answer, nil
	}
	rec, why, err := appendAll(ctx, store, id, events, now)
	if err != nil {
		return Receipt{}, err
	}
	answer.sort(events, rec, why)
	return answer, nil
}

// read returns the valid events, corrected to the server's clock, and refuses the others.
func (a *Receipt) read(b Batch, by string, offset time.Duration) []party.Event {
	var valid []party.Event
	for _, raw := range b.Events {
		e, err := readEvent(raw, by, offset)
		if err != nil {
			a.Refused = append(a.Refused, Refused{e.ID, innermost(err).Error()})
			continue
		}
		valid = append(valid, e)
	}
	return valid
}

func readEvent(raw json.RawMessage, by string, offset time.Duration) (party.Event, error) {
	var e party.Event
	if err := json.Unmarshal(raw, &e); err != nil {
		var named struct {
			ID party.EventID `json:"id"`
		}
		_ = json.Unmarshal(raw, &named) // an event without a readable ID is refused all the same
		return party.Event{ID: named.ID}, errors.New("cannot be read: " + err.Error())
	}
	e.By, e.Recorded = by, time.Time{}
	e = Clean(e).Corrected(offset)
	return e, Validate(e)
}

// innermost strips the context that only developers understand; the words for people are
// inside.
func innermost(err error) error {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err
		}
		err = inner
	}
}

// appendAll stores the events. It returns the roll, and why events that are not on it were
// refused: the roll is closed, or their IDs belong to another hike.
func appendAll(
	ctx context.Context, store Store, id ref.Hike, events []party.Event, now time.Time,
) (rec Record, why string, err error) {
	rec, err = store.Append(ctx, id, inOrder(events), now, NoteDeparture)
	var refusal fault.Refusal
	if errors.As(err, &refusal) {
		rec, err = store.Record(ctx, id)
		return rec, string(refusal), err
	}
	return rec, "its id belongs to a record of another hike", err
}

// inOrder sorts events by time, because a departure is checked against what was known at
// the trailhead, in whatever order a phone sends it.
func inOrder(events []party.Event) []party.Event {
	events = slices.Clone(events)
	slices.SortStableFunc(events, func(a, b party.Event) int { return a.At.Compare(b.At) })
	return events
}

// sort puts each event among the kept or the refused, by whether it is on the roll. A roll
// that is closed now may have taken it earlier.
func (a *Receipt) sort(events []party.Event, rec Record, why string) {
	known := make(map[party.EventID]bool, len(rec.Events))
	for _, e := range rec.Events {
		known[e.ID] = true
	}
	for _, e := range events {
		if known[e.ID] {
			a.Kept = append(a.Kept, e.ID)
		} else {
			a.Refused = append(a.Refused, Refused{e.ID, why})
		}
	}
}
