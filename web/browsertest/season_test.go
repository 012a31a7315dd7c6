package browsertest

import (
	"context"
	"strings"
	"testing"
	"time"

	"saltbush/internal/postgres"
	"saltbush/internal/sample"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// The coordinator of the sample season.
const (
	seasonCoordinator = "odalys.brandtner@example.org"
	seasonPassword    = "dry-wash-lantern"
)

// season is the fixture of the demo: the invented reserve with its season around now.
func season(ctx context.Context, dsn string) error {
	return sitetest.Fill(ctx, dsn, func(db *postgres.DB) error {
		_, err := sample.Load(ctx, sample.Stores{
			Hikes:    db,
			Rolls:    db,
			Accounts: db.AccountStore(),
			Staff:    db,
			Tell:     db,
			Ground:   db,
			Outbox:   db.Outbox(),
			Cards:    db,
			Rides:    db,
		}, func() (*sample.Scenario, error) { return sample.Prepare(ctx, time.Now()) })
		return err
	})
}

// Pages that a whole season fills.
func TestSeason(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, season, time.Now)
	onScreens(t, s.URL, func(t *testing.T, v *chromium.Tab) {
		v.Open("/sign-in")
		v.Fill("main form", map[string]string{"email": seasonCoordinator, "password": seasonPassword})
		v.Press(submit)
		v.Open("/staff")
		v.Sees("clash")
		v.Sees("sweep not accepted")
		v.Open("/staff/people")
		v.Sees("Hollis Umana-Drake")
		v.Open("/staff/rules")
		v.Sees("estimated from the coordinates")
		ownFeed(v)
		v.Open("/mine")
		carsOfTheTraverse(t, v)
	})
}

// ownFeed makes an address of a calendar and ends it.
func ownFeed(v *chromium.Tab) {
	v.Open("/account")
	v.Fill("form[action^='/account/feeds']", map[string]string{"feed": "My phone"})
	v.Press("form[action='/account/feeds#feeds'] button[type=submit]")
	v.Sees("shown this once")
	v.Press("form[action$='/end'][action^='/account/feeds/'] button[type=submit]")
	v.Sees("works no more")
}

// carsOfTheTraverse are those of the hike that ends elsewhere.
func carsOfTheTraverse(t *testing.T, v *chromium.Tab) {
	t.Helper()
	v.Open("/")
	path := v.Ask(`[...document.querySelectorAll("main a[href^='/hikes/']")]
		.find(a => a.innerText.includes("Basin Traverse"))?.getAttribute("href") ?? ""`)
	if !strings.HasPrefix(path, "/hikes/") {
		t.Fatalf("the traverse is not in the calendar: %q", path)
	}
	v.Open(path + "/cars")
	v.Sees("Cars at the end")
	v.Sees("Kettle Rim end")
}
