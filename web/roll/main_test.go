package roll_test

import (
	"os"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/roll"
	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }

const rollPath = "/hikes/1/roll"

func newID() roll.EventID { return roll.EventID(uuid.NewString()) }

// morning is a roll call, a departure and a count, in the order in which they happened.
func morning(rec roll.Record, at time.Time) []roll.Event {
	var all []roll.PersonID
	for _, e := range rec.Roster {
		all = append(all, e.ID)
	}
	departed, counted := at.Add(20*time.Minute), at.Add(50*time.Minute)
	return []roll.Event{
		{ID: newID(), Kind: roll.KindHere, At: at, Persons: all},
		{ID: newID(), Kind: roll.KindDeparted, At: departed, Persons: all, Number: len(all), Place: "trailhead"},
		{ID: newID(), Kind: roll.KindCounted, At: counted, Number: len(all), Place: "Notch Junction"},
	}
}
