package notify_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/plan"
	"saltbush/internal/trail"
)

// A stored plan has its times in zones without a name. The entry is in the zone of the trailhead.
func TestHikeEventEndsInTheZoneOfTheTrailhead(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2027, 12, 4, 15, 0, 0, 0, zone)
	dusk := time.Date(2027, 12, 4, 17, 45, 0, 0, time.FixedZone("", -7*3600))
	p := plan.Plan{Sun: plan.Sun{CivilDusk: plan.Instant{Time: dusk}}}
	p.Time.P50, p.Time.P90 = plan.Seconds(2*3600), plan.Seconds(3*3600)
	e := notify.HikeEvent(hike.Hike{Start: start, Meet: start.Add(-time.Hour)}, trail.Trail{Name: "Dry Fork"}, &p)
	if e.End.Location() != zone || e.End.Before(start.Add(2*time.Hour)) {
		t.Errorf("the entry ends %v in zone %q", e.End, e.End.Location())
	}
}
