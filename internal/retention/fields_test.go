package retention_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/format"
	"saltbush/internal/privacy"
	"saltbush/internal/retention"
	"saltbush/internal/signup"
)

// Every row of the registry says who sees the field, when it goes, and what its owner reads of it.
func TestEveryRowIsComplete(t *testing.T) {
	// Fields that no page of one's own data writes by themselves, and why.
	unlisted := map[string]string{
		"when the contact was asked":   "the page of the place says it",
		"when the contact said yes":    "the page of the place says it",
		"adult in charge, on the roll": "listed by name",
		"color of the car":             "listed with the make",
		"seats offered":                "the page of the place says it",
		"did not come":                 "in the file alone",
		"brought in by":                "about one of the staff",
		"water":                        "in the file alone",
		"action line":                  "listed with the card",
		"unsealed action line":         "listed with the card, where the site seals it",
		"answer":                       "in the file alone",
		"screening":                    "its parts are listed",
		"risks accepted":               "listed with the time",
		"private link":                 "who reads the page holds it",
	}
	names, keys, columns := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, f := range retention.Fields() {
		t.Run(f.Name, func(t *testing.T) {
			if f.Name == "" || names[f.Name] || f.Key != "" && keys[f.Key] {
				t.Errorf("name %q and key %q are not its own", f.Name, f.Key)
			}
			column := f.Table + "." + f.Column + "." + f.Part
			if f.Column == "" || columns[column] {
				t.Errorf("column %s is missing or stands twice", column)
			}
			names[f.Name], keys[f.Key], columns[column] = true, true, true
			if f.Kind != "" && !slices.Contains(kinds(), f.Kind) {
				t.Errorf("kind %q is not in the table of who sees what", f.Kind)
			}
			if f.Class != retention.Stays && !slices.Contains(retention.DataClasses(), f.Class) {
				t.Errorf("class %q is not one that goes in time", f.Class)
			}
			if listed := f.Section != "" && (f.Label != "" || f.Note); listed == (unlisted[f.Name] != "") {
				t.Errorf("listed on the page of one's own data: %v; say where it is if not", listed)
			}
			checkPlanted(t, f)
		})
	}
}

// kinds are those of the table of who sees what that a field of a sign-up may have.
func kinds() []privacy.Kind {
	return []privacy.Kind{privacy.KindName, privacy.KindContact, privacy.KindAction, privacy.KindPlate,
		privacy.KindScreening}
}

// checkPlanted asks for a planted word where a test can find one.
func checkPlanted(t *testing.T, f retention.Field) {
	t.Helper()
	typed := false
	if f.At != nil {
		var s signup.SignUp
		switch f.At(&s).(type) {
		case *string, *[]string:
			typed = true
		}
	}
	if typed && f.Class != retention.Stays && f.Planted == "" {
		t.Error("tests plant no word in it")
	}
	if typed && f.Class == retention.Stays && f.Name != "brought in by" && f.Name != "version of the risks" {
		t.Error("it is a text, and is never deleted")
	}
	if f.Planted == "" {
		return
	}
	one, two := fmt.Sprintf(f.Planted, 1), fmt.Sprintf(f.Planted, 2)
	if one == two || strings.Contains(one, "%!") {
		t.Errorf("the planted word %q does not tell people apart", f.Planted)
	}
}

// A field of the struct that no row reads is stored nowhere.
func TestEveryFieldOfASignUpHasARow(t *testing.T) {
	// What says nothing about a person; the store knows these.
	place := []string{"ID", "Hike", "Order", "HeldUntil", "Carded"}
	var s signup.SignUp
	rows := map[uintptr]bool{}
	for _, f := range retention.Fields() {
		if f.At != nil {
			rows[reflect.ValueOf(f.At(&s)).Pointer()] = true
		}
	}
	v := reflect.ValueOf(&s).Elem()
	for i := range v.NumField() {
		name, here := v.Type().Field(i).Name, rows[v.Field(i).Addr().Pointer()]
		if here == slices.Contains(place, name) {
			t.Errorf("SignUp.%s has a row: %v; is it about the person?", name, here)
		}
	}
}

func sample() signup.SignUp {
	at := time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)
	return signup.SignUp{
		State: signup.TurnedAway, Name: "Amaya Reyes", Email: "amaya@example.org", Minor: true, Guardian: "Teo Reyes",
		Because: "too far yet", Asked: at, HotDays: 1, RiskVersion: "v1", RiskAccepted: at,
		SelfReport: signup.SelfReport{Shoes: "boots", HotBefore: true, Poles: true},
		Car:        signup.Car{Plate: "DRY 7", Make: "Tumbril", Colour: "sand", Seats: 2},
		Screening:  signup.Screening{Talk: []string{"One.", "Two."}, Outcome: signup.Declined, Reason: "too far yet"},
	}
}

func TestLinesOfOwnData(t *testing.T) {
	for section, want := range map[retention.Section][]format.Line{
		retention.SectionYou: {
			{Label: "Name", Value: "Amaya Reyes"}, {Label: "Mail", Value: "amaya@example.org"},
			{Label: "Under age", Value: "yes"}, {Label: "Guardian", Value: "Teo Reyes"},
		},
		retention.SectionWalking: {
			{Label: "Your place", Value: "turned away", Note: "too far yet"},
			{Label: "Asked", Value: "Wed 1 Apr, 12:00"}, {Label: "Active in the heat", Value: "1 day of 14"},
			{Label: "Shoes", Value: "boots"}, {Label: "Said yes to", Value: "walked in heat before; walks with poles"},
			{Label: "Reason for a talk", Value: "One. Two."},
			{Label: "What came of it", Value: "declined", Note: "too far yet"},
		},
		retention.SectionCar:   {{Label: "Plate", Value: "DRY 7"}, {Label: "Car", Value: "Tumbril sand"}},
		retention.SectionRisks: {{Label: "The risks", Value: "accepted Wed 1 Apr, 12:00", Note: "text v1"}},
	} {
		if diff := cmp.Diff(want, retention.Lines(sample(), section, time.UTC)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", section, diff)
		}
	}
	for _, section := range []retention.Section{retention.SectionCar, retention.SectionRisks} {
		if got := retention.Lines(signup.SignUp{RiskVersion: "v1"}, section, time.UTC); len(got) > 0 {
			t.Errorf("%s of somebody who gave nothing: %+v", section, got)
		}
	}
}

func TestEntriesOfOwnData(t *testing.T) {
	got := map[string]any{}
	for _, e := range retention.Entries(sample()) {
		got[e.Key] = e.Value
	}
	s := sample()
	want := map[string]any{
		"name": "Amaya Reyes", "email": "amaya@example.org", "minor": true, "guardian": "Teo Reyes",
		"car.Plate": "DRY 7", "car.Make": "Tumbril", "car.Colour": "sand", "car.Seats": 2,
		"state": signup.TurnedAway, "turned_away_because": "too far yet", "did_not_come": false, "asked": s.Asked,
		"hot_days": 1, "water_litres": s.Water, "told": s.SelfReport, "screening": s.Screening,
		"risks_accepted": s.RiskAccepted, "risks_version": "v1",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("file (-want +got):\n%s", diff)
	}
}
