package phone

import (
	"encoding/json"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Case is a small case with its answer, by which a phone knows that its copy of the program works.
type Case struct {
	Given json.RawMessage `json:"given"`
	Want  string          `json:"want"`
}

// KnownCase makes the case: four are here, one of them with too little water, and leave; one is missed.
func KnownCase() (Case, error) {
	given, err := json.Marshal(known())
	if err != nil {
		return Case{}, err
	}
	return Case{Given: given, Want: string(Answer(given))}, nil
}

func known() Given {
	at := func(minutes int) time.Time {
		return time.Date(2026, time.May, 9, 13, minutes, 0, 0, time.UTC)
	}
	ids := []party.PersonID{"a", "b", "c", "d"}
	by := "Leader"
	return Given{
		Roster: party.Roster{
			{ID: "a", Name: by, Staff: true, Role: "leader"}, {ID: "b", Name: "Sweep", Staff: true, Role: "sweep"},
			{ID: "c", Name: "One"}, {ID: "d", Name: "Two", Minor: true},
		},
		Terms: party.Terms{
			Planned: true, Full: party.Way{Need: 3 * unit.Litre}, FewestStaff: 2, Ratio: 6, MinorsPerAdult: 3,
		},
		Events: []party.Event{
			{ID: "1", Kind: party.KindHere, At: at(0), By: by, Persons: ids},
			{ID: "2", Kind: party.KindWater, At: at(1), By: by, Persons: ids[2:3], Litres: 0.3},
			{ID: "3", Kind: party.KindDeparted, At: at(5), By: by, Persons: ids, Number: 4},
			{ID: "4", Kind: party.KindCounted, At: at(40), By: by, Number: 3, Place: "Wash"},
			{ID: "5", Kind: party.KindMissing, At: at(45), By: by, Persons: ids[3:], Place: "Wash"},
		},
		Now: at(50),
	}
}
