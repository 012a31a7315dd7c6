package signups

import (
	"encoding/json"
	"testing"
	"time"

	"saltbush/internal/signup"
)

func TestOwnDataFile(t *testing.T) {
	meet := time.Date(2026, 4, 4, 12, 30, 0, 0, time.UTC)
	d := ownData{Hike: "Dry Fork at dawn", Meet: meet, CardLost: true, Person: signup.SignUp{
		Name: "Amaya Reyes", State: signup.Confirmed, Car: signup.Car{Plate: "DRY 7", Seats: 2},
	}}
	got, err := json.Marshal(d.file())
	const want = `{"hike":"Dry Fork at dawn","meet":"2026-04-04T12:30:00Z","name":"Amaya Reyes","minor":false,` +
		`"car":{"Plate":"DRY 7","Seats":2},"state":"confirmed","did_not_come":false,"hot_days":0,"water_litres":0,` +
		`"told":{"walk":{"Distance":0,"Ascent":0,"Took":0}},"screening":{},"medical_card_unreadable":true,` +
		`"medical_card_openings":null,"records":{"Town":"","Shares":"0001-01-01T00:00:00Z","Roll":null,"Mail":null,` +
		`"Waiver":"0001-01-01T00:00:00Z","Held":false},"kept_until":null}`
	if string(got) != want || err != nil {
		t.Errorf("%s, %v; want\n%s", got, err, want)
	}
}

// A column whose field is not in the registry would be written for nobody.
func TestWrittenColumnsAreInTheRegistry(t *testing.T) {
	for _, c := range signUpColumns() {
		if c.Write != nil && c.kind == "" {
			t.Errorf("column %s has no kind of data", c.Name)
		}
	}
}
