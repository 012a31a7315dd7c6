package site_test

import (
	"fmt"
	"os"
	"testing"
	"time"
	_ "time/tzdata" // the machine may lack zone data

	"saltbush/internal/site/sitetest"
)

// TestMain sets a zone far from any trailhead, so that a time by the machine's clock is
// noticed. It does so before anything reads the zone.
func TestMain(m *testing.M) {
	elsewhere, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	time.Local = elsewhere
	os.Exit(sitetest.Main(m))
}
