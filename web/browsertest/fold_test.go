package browsertest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	phoneview "saltbush/internal/phone"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// lookOnThePhone makes the views of a list with the phone's own copy of the program.
const lookOnThePhone = `(async () => {
	const { party, glue, program } = document.getElementById("roll").dataset;
	const view = await (globalThis.view ??= (await import(party)).open(glue, program));
	return JSON.stringify(%s.map((given) => view(given)));
})()`

// The phone's program folds drawn days, byte for byte, as the server does.
func TestPhoneAndServerFoldAlike(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	days := 200
	if sitetest.Long() {
		days = 5000
	}
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	for i := range 5 {
		sitetest.AddSignUp(t, s.DB, sitetest.Walker(fmt.Sprintf("Walker %c Holt", 'A'+i), "walker@example.org"))
	}
	p := openPhone(t, newAirwave(t, s.URL), sitetest.Leader, "")
	rec := s.Roll(t, 1)
	var given []string
	for seed := range days {
		given = append(given, drawnDay(t, uint64(seed), rec.Roster, rec.FullTerms()))
	}
	flags := 0
	for list := range slices.Chunk(given, 100) {
		views := onThePhone(t, p, list)
		for i, g := range list {
			want := string(phoneview.Answer([]byte(g)))
			if views[i] != want {
				t.Fatalf("given %s\n(-server +phone):\n%s", g, cmp.Diff(want, views[i]))
			}
			flags += strings.Count(want, `"words"`)
		}
	}
	if flags < days {
		t.Errorf("%d days are too plain to tell anything", days)
	}
}

// drawnDay is what a view of a drawn day is made from, as the phone gives it.
func drawnDay(t *testing.T, seed uint64, roster party.Roster, terms party.Terms) string {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 7))
	d := diary{at: time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)}
	d.day(r, roster)
	g := phoneview.Given{Roster: roster, Terms: terms, Events: d.arrives(r), Now: d.at.Add(20 * time.Minute)}
	b, err := json.Marshal(g)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func onThePhone(t *testing.T, p phone, given []string) (views []string) {
	t.Helper()
	list, err := json.Marshal(given)
	if err != nil {
		t.Fatal(err)
	}
	answer := p.Ask(fmt.Sprintf(lookOnThePhone, list))
	if err := json.Unmarshal([]byte(answer), &views); err != nil || len(views) != len(given) {
		t.Fatalf("%d views of %d: %v", len(views), len(given), err)
	}
	return views
}
