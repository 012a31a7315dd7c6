package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// House judgement: as many records as one phone makes in a day without signal, and the
// bytes that they take.
const (
	batchEvents = 1000
	batchBytes  = 2 << 20
)

// batch is what a device sends: its records, with its own ids and times, and the time by
// its clock at which it sent them.
type batch struct {
	SentAt time.Time         `json:"sent_at"`
	Events []json.RawMessage `json:"events"`
}

// receipt answers a batch record by record: one that is wrong does not hold up the others.
type receipt struct {
	// Kept are on disk, now or since an earlier batch.
	Kept    []roll.EventID `json:"kept"`
	Refused []refused      `json:"refused"`
	// At is the server's time.
	At time.Time `json:"at"`
}

type refused struct {
	ID  roll.EventID `json:"id"`
	Why string       `json:"why"`
}

// receiveEvents takes a batch. Sent twice, or with the answer lost, it changes nothing.
func (s *Server) receiveEvents(w http.ResponseWriter, r *http.Request) error {
	b, err := readBatch(w, r)
	if err != nil {
		return err
	}
	now := s.Now()
	answer := receipt{Kept: []roll.EventID{}, Refused: []refused{}, At: now}
	events := answer.read(b, nameOf(r), roll.ClockOffset(b.SentAt, now))
	if len(events) > 0 {
		rec, why, err := s.appendEvents(r, events, now)
		if err != nil {
			return err
		}
		answer.sort(events, rec, why)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	return json.NewEncoder(w).Encode(answer)
}

func readBatch(w http.ResponseWriter, r *http.Request) (batch, error) {
	var b batch
	err := json.NewDecoder(http.MaxBytesReader(w, r.Body, batchBytes)).Decode(&b)
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return b, err
	case err != nil:
		return b, hike.Invalid{"events": "is not a list of records: " + err.Error()}
	case len(b.Events) > batchEvents:
		return b, hike.Invalid{"events": fmt.Sprintf("holds %d records, more than %d", len(b.Events), batchEvents)}
	}
	return b, nil
}

// read returns the records that can be kept, made by whoever is signed in and brought onto
// the server's clock, and refuses the others.
func (a *receipt) read(b batch, by string, offset time.Duration) []roll.Event {
	var good []roll.Event
	for _, raw := range b.Events {
		e, err := readRecord(raw, by, offset)
		if err != nil {
			a.Refused = append(a.Refused, refused{e.ID, sentence(err)})
			continue
		}
		good = append(good, e)
	}
	return good
}

func readRecord(raw json.RawMessage, by string, offset time.Duration) (roll.Event, error) {
	var e roll.Event
	if err := json.Unmarshal(raw, &e); err != nil {
		var named struct {
			ID roll.EventID `json:"id"`
		}
		_ = json.Unmarshal(raw, &named) // a record without a name is refused all the same
		return roll.Event{ID: named.ID}, errors.New("cannot be read: " + err.Error())
	}
	e.By, e.Recorded = by, time.Time{}
	e = e.Corrected(offset)
	return e, e.Validate()
}

// appendEvents keeps the records, or says why the roll takes none any more.
func (s *Server) appendEvents(r *http.Request, events []roll.Event, now time.Time) (rec roll.Record, why string, err error) {
	id := hikeIn(r).ID
	rec, err = s.Rolls.Append(r.Context(), id, events, now)
	var refusal hike.Refusal
	if errors.As(err, &refusal) {
		rec, err = s.Rolls.Record(r.Context(), id)
		return rec, string(refusal), err
	}
	return rec, "its id belongs to a record of another hike", err
}

// sort says of each record whether it is on this roll: a closed roll may have taken it
// before it closed.
func (a *receipt) sort(events []roll.Event, rec roll.Record, why string) {
	known := make(map[roll.EventID]bool, len(rec.Events))
	for _, e := range rec.Events {
		known[e.ID] = true
	}
	for _, e := range events {
		if known[e.ID] {
			a.Kept = append(a.Kept, e.ID)
		} else {
			a.Refused = append(a.Refused, refused{e.ID, why})
		}
	}
}
