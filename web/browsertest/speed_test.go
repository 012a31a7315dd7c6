package browsertest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"saltbush/internal/party"
	phoneview "saltbush/internal/phone"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// measure loads the program anew and folds a day, in milliseconds.
const measure = `(async () => {
	const { party, glue, program } = document.getElementById("roll").dataset;
	const { open } = await import(party);
	const given = %s;
	const before = performance.now();
	const view = await open(glue, program);
	const loaded = performance.now();
	view(given);
	const first = performance.now();
	view(given);
	const again = performance.now();
	return JSON.stringify([loaded - before, first - loaded, again - first]);
})()`

// A phone a quarter as fast as this machine starts the program and folds 400 records while somebody
// waits. The limits are what a thumb puts up with, not what is usual; -v prints the figures.
func TestProgramOnASlowPhone(t *testing.T) {
	chromium.Needs(t)
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	p := openPhone(t, newAirwave(t, s.URL), sitetest.Leader, "")
	p.Sees("This phone is ready for the trail")
	r, rec := rand.New(rand.NewPCG(1, 7)), s.Roll(t, 1)
	d := diary{at: time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)}
	d.day(r, rec.Roster)
	for len(d.events) < 400 {
		d.happens(r, idsOf(rec.Roster))
	}
	text, err := json.Marshal(phoneview.Given{
		Roster: rec.Roster, Terms: rec.FullTerms(), Events: d.events[:400], Now: d.at,
	})
	if err != nil {
		t.Fatal(err)
	}
	slow := emulation.SetCPUThrottlingRateParams{Rate: 4}
	if _, err := chromedp.Call(p.Ctx, emulation.SetCPUThrottlingRate, slow); err != nil {
		t.Fatal(err)
	}
	quoted, _ := json.Marshal(string(text))
	var ms []float64
	if err := json.Unmarshal([]byte(p.Ask(fmt.Sprintf(measure, quoted))), &ms); err != nil {
		t.Fatal(err)
	}
	t.Logf("load and start %.0f ms, first fold of 400 records %.0f ms, next %.0f ms", ms[0], ms[1], ms[2])
	if ms[0] > 15000 || ms[2] > 3000 {
		t.Errorf("load %.0f ms, fold %.0f ms: nobody waits that long", ms[0], ms[2])
	}
}

func idsOf(roster party.Roster) (ids []party.PersonID) {
	for _, e := range roster {
		ids = append(ids, e.ID)
	}
	return ids
}
