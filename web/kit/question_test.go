package kit_test

import (
	"net/url"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

type meal struct {
	Name  string
	Notes string
	Kind  string
	Hot   bool
	Eaten bool
	Count int
	Takes time.Duration
	Day   unit.Date
	Far   unit.Length
	Tags  []string
	Drink drink
}

type drink struct{ Name string }

func mealForm() kit.Questions[meal] {
	form := kit.Questions[meal]{
		kit.Line(ui.Field{Name: "name"}, func(m *meal) *string { return &m.Name }),
		kit.Paragraph(ui.Field{Name: "notes"}, func(m *meal) *string { return &m.Notes }),
		kit.Word(ui.Field{Name: "kind", Options: kit.OptionsOf([]string{"soup", "bread"})},
			func(m *meal) *string { return &m.Kind }),
		kit.Box(ui.Field{Name: "hot"}, func(m *meal) *bool { return &m.Hot }),
		kit.YesNo(ui.Field{Name: "eaten"}, func(m *meal) *bool { return &m.Eaten }),
		kit.Whole(ui.Field{Name: "count", Optional: true}, func(m *meal) *int { return &m.Count }, "Count them."),
		kit.Minutes(ui.Field{Name: "takes"}, func(m *meal) *time.Duration { return &m.Takes }),
		kit.Date(ui.Field{Name: "day"}, func(m *meal) *unit.Date { return &m.Day }, "Give the day."),
		kit.Length(ui.Field{Name: "far"}, "far_unit", func(m *meal) *unit.Length { return &m.Far }, "Give how far."),
		kit.ReadElsewhere[meal](ui.Field{Name: "far_unit", Options: kit.OptionsOf([]string{"km", "mi"})}),
		kit.Several(ui.Field{Name: "tags"}, func(m *meal) *[]string { return &m.Tags }),
	}
	return append(form, kit.PartOf(func(m *meal) *drink { return &m.Drink }, kit.Questions[drink]{
		kit.Line(ui.Field{Name: "drink"}, func(d *drink) *string { return &d.Name }),
	})...)
}

func TestFormReadsWhatItFillsIn(t *testing.T) {
	stored := meal{
		Name: "Lentils", Notes: "with\nlemon", Kind: "soup", Hot: true, Eaten: true, Count: 3, Takes: 25 * time.Minute,
		Day: unit.Date{Year: 2027, Month: time.March, Day: 14}, Far: 2 * unit.Kilometre, Tags: []string{"red", "sour"},
		Drink: drink{"Mint tea"},
	}
	values := url.Values(mealForm().Values(stored))
	values.Set("eaten", "yes")
	values.Set("far", "2")
	values.Set("far_unit", "km")
	f := kit.FormOf(values)
	var got meal
	mealForm().Read(f, &got)
	if diff := cmp.Diff(stored, got); diff != "" || len(f.Faults) > 0 {
		t.Errorf("read back with faults %v:\n%s", f.Faults, diff)
	}
}

func TestFormNamesWhatItCannotRead(t *testing.T) {
	f := kit.FormOf(url.Values{"eaten": {"perhaps"}, "count": {"some"}, "takes": {"long"}, "day": {"Sunday"},
		"far": {""}})
	var got meal
	mealForm().Read(f, &got)
	for _, field := range []string{"eaten", "count", "takes", "day", "far"} {
		if f.Faults[field] == "" {
			t.Errorf("%s has no fault", field)
		}
	}
	if len(f.Faults) != 5 {
		t.Errorf("faults %v, want five", f.Faults)
	}
}

func TestFormKeepsWhatWasSent(t *testing.T) {
	stored := meal{Name: "Lentils", Kind: "soup"}
	for _, tt := range []struct {
		name   string
		state  ui.FormState
		value  string
		chosen string
	}{
		{"first shown", ui.FormState{}, "Lentils", "soup"},
		{"another form of the page was sent", ui.FormState{Values: map[string][]string{"other": {"x"}}}, "Lentils",
			"soup"},
		{"sent", ui.FormState{Values: map[string][]string{"name": {"Beans"}, "kind": {"bread"}}}, "Beans", "bread"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			fields := mealForm().Filled(tt.state, stored)
			if got := fields.Named("name").Value; got != tt.value {
				t.Errorf("name %q, want %q", got, tt.value)
			}
			for _, o := range fields.Named("kind").Options {
				if o.Selected != (o.Value == tt.chosen) {
					t.Errorf("option %q selected %v", o.Value, o.Selected)
				}
			}
		})
	}
}

func TestColumnsReadAndWriteAsTheFormDoes(t *testing.T) {
	form := mealForm()
	tags := form.Named("tags").Column("Tags", "divided by commas")
	if got := tags.Write(meal{Tags: []string{"red", "sour"}}); got != "red, sour" {
		t.Errorf("tags are written %q", got)
	}
	if form.NeverShown().Named("name").Column("Name", "").Write != nil {
		t.Error("an answer that is never shown is written")
	}
}
