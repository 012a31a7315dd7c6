package storybook_test

import (
	"testing"

	"saltbush/web/trails"

	"github.com/PuerkitoBio/goquery"
	"github.com/a-h/templ"

	"saltbush/internal/format"
	hikesview "saltbush/web/hikes/view"
	"saltbush/web/storybook"
	trailsview "saltbush/web/trails/view"
	"saltbush/web/ui"
)

// state draws one of the staff's pages by its name.
func state(t *testing.T, name string) *goquery.Document {
	t.Helper()
	for _, p := range storybook.StaffStates() {
		if p.Name == name {
			return draw(t, p.Component)
		}
	}
	t.Fatalf("no state %q", name)
	return nil
}

func TestStaffStatesAreWholePages(t *testing.T) {
	names := map[string]bool{}
	for _, p := range storybook.StaffStates() {
		t.Run(p.Name, func(t *testing.T) {
			if names[p.Name] {
				t.Errorf("two states are named %q", p.Name)
			}
			names[p.Name] = true
			doc := draw(t, p.Component)
			wantCount(t, doc, "main#main h1", 1)
			wantCount(t, doc, "[style], main script:not([src])", 0)
			ids := map[string]bool{}
			doc.Find("[id]").Each(func(_ int, s *goquery.Selection) {
				id, _ := s.Attr("id")
				if ids[id] {
					t.Errorf("id %q stands twice", id)
				}
				ids[id] = true
			})
			doc.Find("main label[for], main a[href^='#']").Each(func(_ int, s *goquery.Selection) {
				for _, name := range []string{"for", "href"} {
					if to, ok := s.Attr(name); ok && to != "" && !ids[trimHash(to)] {
						t.Errorf("%q leads nowhere", to)
					}
				}
			})
		})
	}
}

func trimHash(s string) string {
	if s[0] == '#' {
		return s[1:]
	}
	return s
}

func TestTrailsForStaffAndPublic(t *testing.T) {
	staff, public := state(t, "trails"), state(t, "trails-public")
	wantCount(t, staff, "a.Button[href='/trails/new']", 1)
	wantCount(t, public, "a[href='/trails/new']", 0)
	wantCount(t, public, "tbody tr", 3)
	wantText(t, public, "tbody tr:nth-child(1) td[data-label=Difficulty]", "87 moderate")
	wantText(t, public, "tbody tr:nth-child(3) td[data-label=Difficulty]", "not known")
	wantText(t, public, "tbody tr:nth-child(2) th a[href='/trails/8']", "Lantern Ridge")
	wantText(t, state(t, "trails-empty"), ".EmptyState-title", "No trails yet")
}

func TestTrailClassNeverStandsWithoutItsNumber(t *testing.T) {
	raised := draw(t, trailsview.Trail(trailsview.TrailPage{Number: "48", Class: "moderate",
		Raised: "raised from easiest: a stretch of 28 %"}))
	wantText(t, raised, ".Figure:first-child .Figure-value", "48 moderate")
	wantText(t, raised, ".Lines div:contains('Why moderate') dd", "raised from easiest: a stretch of 28 %")
	bare := draw(t, trailsview.Trail(trailsview.TrailPage{Class: "moderate"}))
	wantText(t, bare, ".Figure:first-child .Figure-value", "not known")
}

func TestTrailForStaff(t *testing.T) {
	doc := state(t, "trail")
	wantCount(t, doc, "form[method=post][action='/trails/7/shape'] input[name=shape]", 3)
	wantCount(t, doc, "input[name=shape][value=out-and-back][checked]", 1)
	wantCount(t, doc, "form[method=post][action='/trails/7/points'] [name]", 6)
	wantCount(t, doc, "form[method=post][action='/trails/7/points/3/remove'] button", 1)
	wantCount(t, doc, "a[href='/hikes/new?trail=7'], a[href='/trails/7/edit'], a[href='/trails/7/track.gpx']", 3)
}

func TestTrailForPublicSaysWhatIsNotKnown(t *testing.T) {
	doc := state(t, "trail-bare")
	wantCount(t, doc, "main form, main a.Button", 0)
	wantCount(t, doc, ".Figure--unknown", 5)
	wantCount(t, doc, ".Note--unknown", 2)
	wantText(t, doc, ".Lines div:contains('Phone signal') dd", "not known")
	wantText(t, doc, ".Note--caution li",
		"The recording has no heights: climb and slopes are unknown and shown as zero.")
}

func TestTrailShowsItsDrawings(t *testing.T) {
	doc := draw(t, trailsview.Trail(trailsview.TrailPage{Map: templ.Raw(`<svg id="drawn"></svg>`)}))
	wantCount(t, doc, "figure.Drawing svg#drawn", 1)
	wantCount(t, doc, ".Note--unknown", 1)
}

func TestTrailPointFormComesBackOpen(t *testing.T) {
	a := ui.FormState{Values: map[string][]string{"name": {"Overhang"}, "along": {"far"}, "along_unit": {"mi"}},
		Errors: map[string]string{"along": "Give a distance from the start that lies on the trail."}}
	doc := draw(t,
		trailsview.Trail(trailsview.TrailPage{Manage: true, Point: trails.PointForm(format.Metric).Fields(a)}))
	wantCount(t, doc, "details[open] input#along[value=far][aria-invalid]", 1)
	wantCount(t, doc, "input#point-name[value=Overhang]", 1)
	wantCount(t, doc, "option[value=mi][selected]", 1)
	wantCount(t, doc, "[role=alert] a[href='#along']", 1)
}

func TestTrailForm(t *testing.T) {
	t.Run("fresh", func(t *testing.T) {
		doc := state(t, "trail-form")
		wantCount(t, doc,
			"form[method=post][action='/trails'][enctype='multipart/form-data'] input[type=file][name=file]", 1)
		wantCount(t, doc, "input[name=zone][list=zones]", 1)
		wantCount(t, doc, "datalist#zones option", 2)
		wantCount(t, doc, "[role=alert], .Note--caution", 0)
	})
	t.Run("came back", func(t *testing.T) {
		doc := state(t, "trail-form-wrong")
		wantText(t, doc, "#file-error", "Line 214: a point without a longitude. The file was not taken.")
		wantText(t, doc, ".Note--caution .Note-title", "Choose the file again")
		wantCount(t, doc,
			"input[name=name][value='Quail Wash'], option[value=wash][selected], input[value=loop][checked]", 3)
	})
	t.Run("edit", func(t *testing.T) {
		doc := state(t, "trail-form-edit")
		wantCount(t, doc, "form[action='/trails/7'] input[name=name][aria-required]", 1)
		wantCount(t, doc, "input[type=file], [name=shape], [enctype]", 0)
	})
}

func TestDesk(t *testing.T) {
	doc := state(t, "desk")
	wantText(t, doc, "[aria-labelledby=wants] li:first-child .DayBook-want--late b", "Decide whether it goes")
	wantCount(t, doc, "[aria-labelledby=wants] .DayBook-want", 5)
	wantText(t, doc, "[aria-labelledby=wants] li:nth-child(3) .Stamp--pencil", "no plan")
	wantText(t, doc, "[aria-labelledby=out] a[href='/hikes/10/roll']", "Open the roll Ridge training")
	wantCount(t, doc, "[aria-labelledby=coming] li", 3)
	wantCount(t, doc, "[aria-labelledby=past] li .Stamp--rock-solid", 1)
}

func TestDeskWithNothingToDo(t *testing.T) {
	doc := state(t, "desk-empty")
	wantCount(t, doc, ".DayBook", 0)
	wantText(t, doc, "[aria-labelledby=wants] .Note-title", "Nothing waits for you")
	wantText(t, doc, "[aria-labelledby=out] p", "Nobody is out.")
}

func TestVerdictStampsDiffer(t *testing.T) {
	seen := map[ui.Mark]string{}
	for _, verdict := range []string{"go", "change", "cancel", "", "perhaps"} {
		s := hikesview.VerdictStamp(verdict)
		if verdict == "" || verdict == "perhaps" {
			if s.Look != ui.LookPencil {
				t.Errorf("verdict %q is stamped %q, want pencil", verdict, s.Look)
			}
			continue
		}
		if other, taken := seen[s.Mark]; taken {
			t.Errorf("%q and %q share the mark %q", verdict, other, s.Mark)
		}
		seen[s.Mark] = verdict
	}
}

func TestHikeForm(t *testing.T) {
	doc := state(t, "hike-form")
	wantCount(t, doc, "form[method=post][action='/hikes'] [name]", 21)
	wantCount(t, doc, "select[name=assistant]", 3)
	wantText(t, doc, "select[name=leader] option:first-child", "nobody yet")
	wantCount(t, doc, "input[name=pace][value=ordinary][checked]", 1)
	wantText(t, state(t, "hike-form-no-trails"), ".EmptyState a[href='/trails/new']", "Add a trail")
}

func TestHikeFormKeepsEachAssistantInItsPlace(t *testing.T) {
	doc := state(t, "hike-form-wrong")
	wantCount(t, doc, "#assistant-2 option[value='3'][selected]", 1)
	wantCount(t, doc, "#assistant-1 option[value='3'][selected], #assistant-3 option[value='3'][selected]", 0)
	wantCount(t, doc, "input[name=pace][checked]", 1)
	wantCount(t, doc, "input[name=pace][value=gentle][checked]", 1)
	wantCount(t, doc, "[role=alert] li", 4)
}

func TestPeople(t *testing.T) {
	doc := state(t, "people")
	wantCount(t, doc, "tbody tr", 4)
	wantText(t, doc, "tbody tr:nth-child(3) .Stamp", "invited")
	wantCount(t, doc, "form[method=post][action='/people'] input[type=checkbox][name=roles]", 5)
	wantCount(t, doc, ".Copy", 0)
	wantText(t, state(t, "people-invited"), "[role=status] .Copy",
		"https://hikes.example.org/invited/8Jk2mTq0vZx4rB7nL5cYwE1sHd9fGuAp")
	wantCount(t, state(t, "people-wrong"), "input[value=leader][checked]", 1)
	wantCount(t, state(t, "people-wrong"), "input[value=coordinator][checked]", 0)
}
