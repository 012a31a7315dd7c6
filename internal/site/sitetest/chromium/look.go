package chromium

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
)

// Look checks the page that is open: it fits the screen, and the rules of axe-core fault
// nothing. With SALTBUSH_SHOTS set it keeps a picture there.
func (v *Tab) Look() {
	v.T.Helper()
	v.settle()
	v.Fits()
	v.accessible()
	v.Shoot()
}

// settle waits until a page stands that no redirect takes away.
func (v *Tab) settle() {
	for at, tries := 0, 0; at < 3 && tries < 100; tries++ {
		ready, err := chromedp.Run(v.Ctx, chromedp.Evaluate[bool](`document.readyState == "complete"`))
		if at++; err != nil || !ready {
			at = 0
		}
		time.Sleep(glance)
	}
	// Colors are measured once they stand still.
	v.Ask(`Promise.allSettled(document.getAnimations()
		.filter(a => a.playState === "running" && a.effect.getComputedTiming().iterations < 100)
		.map(a => a.finished)).then(() => "")`)
}

// fault is one rule that a page breaks.
type fault struct {
	ID, Help string
	At       []string // the first elements that break it
}

func (v *Tab) accessible() {
	v.T.Helper()
	axe, err := os.ReadFile(filepath.Join(sitetest.Root(v.T), "web/testdata/axe.min.js"))
	if err != nil {
		v.T.Fatal(err)
	}
	v.Evaluate(string(axe) + ";true")
	found := v.Ask(`axe.run().then(r => JSON.stringify(r.violations.map(
		x => ({id: x.id, help: x.help, at: x.nodes.map(n => n.html).slice(0, 3)}))))`)
	var faults []fault
	if err := json.Unmarshal([]byte(found), &faults); err != nil {
		v.T.Fatal(err)
	}
	for _, f := range faults {
		v.T.Errorf("%s: %s: %s (%s): %s", v.Name, v.URL(), f.ID, f.Help, strings.Join(f.At, " | "))
	}
}

var shots atomic.Int64

// Shoot keeps a picture of the whole page in the folder SALTBUSH_SHOTS, where that is set.
func (v *Tab) Shoot() {
	v.T.Helper()
	dir := os.Getenv("SALTBUSH_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(v.Ctx, chromedp.FullScreenshot(90))
	if err != nil {
		v.T.Fatal(err)
	}
	page := strings.NewReplacer("/", "-", "?", "-", "=", "-").Replace(strings.TrimPrefix(v.URL(), v.Base))
	page = strings.Trim(page, "-")
	name := fmt.Sprintf("%s-%02d-%s.png", v.Name, shots.Add(1), page[:min(len(page), 40)])
	if err := os.WriteFile(filepath.Join(dir, name), png, 0o644); err != nil {
		v.T.Fatal(err)
	}
}
