package roll

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"saltbush/internal/fault"
	"saltbush/internal/roll"
	"saltbush/web/kit"
)

// Our judgment: one phone records no more than this in a day without signal.
const (
	batchEvents = 1000
	batchBytes  = 2 << 20
)

// ReceiveEvents stores a batch of events from a phone. It is idempotent: a batch that is sent
// twice, or whose answer was lost, changes nothing more.
func (s *Handlers) ReceiveEvents(w http.ResponseWriter, r *http.Request) error {
	b, err := readBatch(w, r)
	if err != nil {
		return err
	}
	answer, err := roll.Receive(r.Context(), s.Rolls, kit.HikeIn(r).ID, b, kit.NameOf(r), s.Now())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	return json.NewEncoder(w).Encode(answer)
}

func readBatch(w http.ResponseWriter, r *http.Request) (roll.Batch, error) {
	var b roll.Batch
	err := json.NewDecoder(http.MaxBytesReader(w, r.Body, batchBytes)).Decode(&b)
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return b, err
	case err != nil:
		return b, fault.Invalid{"events": "is not a list of records: " + err.Error()}
	case len(b.Events) > batchEvents:
		return b, fault.Invalid{"events": fmt.Sprintf("holds %d records, more than %d", len(b.Events), batchEvents)}
	}
	return b, nil
}
