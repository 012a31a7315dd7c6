package site_test

import (
	"fmt"
	"os"
	"testing"
	"time"
	_ "time/tzdata" // a bare machine may lack the list of zones

	"saltbush/internal/site/sitetest"
)

// The machine of these tests is far from any trailhead, so that a time by its own clock
// shows. The zone is set before anything reads it.
func TestMain(m *testing.M) {
	elsewhere, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	time.Local = elsewhere
	os.Exit(sitetest.Main(m))
}
