package roll_test

import (
	"os"
	"saltbush/internal/party"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/roll"
	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }

const rollPath = "/hikes/1/roll"

func newID() party.EventID { return party.EventID(uuid.NewString()) }

// morning is a roll call, a departure and a count, in the order in which they happened.
func morning(rec roll.Record, at time.Time) []party.Event {
	var all []party.PersonID
	for _, e := range rec.Roster {
		all = append(all, e.ID)
	}
	departed, counted := at.Add(20*time.Minute), at.Add(50*time.Minute)
	return []party.Event{
		{ID: newID(), Kind: party.KindHere, At: at, Persons: all},
		{ID: newID(), Kind: party.KindDeparted, At: departed, Persons: all, Number: len(all), Place: "trailhead"},
		{ID: newID(), Kind: party.KindCounted, At: counted, Number: len(all), Place: "Notch Junction"},
	}
}
