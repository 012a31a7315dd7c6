package roll

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
)

// Batch is what a device sends: its records, with its own ids and times, and the time by
// its clock at which it sent them.
type Batch struct {
	SentAt time.Time         `json:"sent_at"`
	Events []json.RawMessage `json:"events"`
}

// Receipt answers a batch record by record: one that is wrong does not hold up the others.
type Receipt struct {
	// Kept are on disk, now or since an earlier batch.
	Kept    []EventID `json:"kept"`
	Refused []Refused `json:"refused"`
	// At is the server's time.
	At time.Time `json:"at"`
}

// Refused is one record that is not kept, and why in words for whoever made it.
type Refused struct {
	ID  EventID `json:"id"`
	Why string  `json:"why"`
}

// Receive takes a batch from whoever is signed in as by. Sent twice, or with the answer
// lost, it changes nothing more.
func Receive(ctx context.Context, store Store, id ref.Hike, b Batch, by string, now time.Time) (Receipt, error) {
	answer := Receipt{Kept: []EventID{}, Refused: []Refused{}, At: now}
	events := answer.read(b, by, ClockOffset(b.SentAt, now))
	if len(events) == 0 {
		return answer, nil
	}
	rec, why, err := appendOrSay(ctx, store, id, events, now)
	if err != nil {
		return Receipt{}, err
	}
	answer.sort(events, rec, why)
	return answer, nil
}

// read returns the records that can be kept, brought onto the server's clock, and refuses
// the others.
func (a *Receipt) read(b Batch, by string, offset time.Duration) []Event {
	var good []Event
	for _, raw := range b.Events {
		e, err := readRecord(raw, by, offset)
		if err != nil {
			a.Refused = append(a.Refused, Refused{e.ID, innermost(err).Error()})
			continue
		}
		good = append(good, e)
	}
	return good
}

func readRecord(raw json.RawMessage, by string, offset time.Duration) (Event, error) {
	var e Event
	if err := json.Unmarshal(raw, &e); err != nil {
		var named struct {
			ID EventID `json:"id"`
		}
		_ = json.Unmarshal(raw, &named) // a record without a name is refused all the same
		return Event{ID: named.ID}, errors.New("cannot be read: " + err.Error())
	}
	e.By, e.Recorded = by, time.Time{}
	e = e.Cleaned().Corrected(offset)
	return e, e.Validate()
}

// innermost leaves out what only we understand: the words for people are inside.
func innermost(err error) error {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err
		}
		err = inner
	}
}

// appendOrSay keeps the records, or says why the roll takes none any more.
func appendOrSay(ctx context.Context, store Store, id ref.Hike, events []Event, now time.Time) (rec Record, why string, err error) {
	rec, err = store.Append(ctx, id, inOrder(events), now, NoteDeparture)
	var refusal fault.Refusal
	if errors.As(err, &refusal) {
		rec, err = store.Record(ctx, id)
		return rec, string(refusal), err
	}
	return rec, "its id belongs to a record of another hike", err
}

// inOrder is the records as they happened: a departure is judged by what was known at the
// trailhead, in whatever order a phone sends it.
func inOrder(events []Event) []Event {
	events = slices.Clone(events)
	slices.SortStableFunc(events, func(a, b Event) int { return a.At.Compare(b.At) })
	return events
}

// sort says of each record whether it is on this roll: a closed roll may have taken it
// before it closed.
func (a *Receipt) sort(events []Event, rec Record, why string) {
	known := make(map[EventID]bool, len(rec.Events))
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
