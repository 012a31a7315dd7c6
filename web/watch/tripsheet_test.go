package watch_test

import (
	"net/http"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

func TestTripSheetHasWhatALeaderNeeds(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	v.Get("/hikes/1/manage").Want(http.StatusOK).Shows(`href="/hikes/1/trip-sheet"`)
	sheet := v.Get("/hikes/1/trip-sheet").Want(http.StatusOK)
	sheet.Shows(
		"Turn around by", "Watch time", "Call time", "Each carries", "Group reserve", "Notch Junction", "Ways out",
		"Ranch road gate", "33.4", "Ash Moreno", "Ines Calder", "Rosa Lind, 602-555-0113", "Emergency", "Amaya Reyes",
		"Walker Number 18", "Kin of theirs", "SAND 03", "3 h", "Cautions",
	)
	sheet.Hides("Walker Number 19") // who waits for a place
	s.SignIn(t, sitetest.Trainer).Get("/hikes/1/trip-sheet").Want(http.StatusForbidden)
}

func TestTripSheetDaysBeforeKeepsContactsBack(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		h.Start, h.Meet = h.Start.Add(40*time.Hour), h.Meet.Add(40*time.Hour)
	})
	sheet := s.SignIn(t, sitetest.Leader).Get("/hikes/1/trip-sheet").Want(http.StatusOK)
	sheet.Shows("Walker Number 01", "Print it then", "The start was moved since").Hides("Kin of theirs", "SAND 03")
}
