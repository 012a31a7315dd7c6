package plan_test

import (
	"testing"

	"saltbush/internal/plan"
	"saltbush/internal/track"
)

func TestPlacesArePassedAgainOnTheWayBack(t *testing.T) {
	in := ordinary(t)
	far := in.Profile.Far()
	in.Points = []plan.Point{{Name: "Sign", Along: 0}, {Name: "Notch", Along: far / 3}, {Name: "Rim", Along: far}}
	points := compute(t, in).Time.Points
	if in.Profile.Shape != track.OutAndBack {
		t.Fatalf("the ordinary walk is %s, this test needs one that comes back", in.Profile.Shape)
	}
	if !points[0].BackP50.IsZero() || !points[2].BackP50.IsZero() {
		t.Errorf("the start and the far point are passed again: %v, %v", points[0].BackP50, points[2].BackP50)
	}
	notch, rim := points[1], points[2]
	if !(notch.P50.Before(rim.P50.Time) && rim.P50.Before(notch.BackP50.Time) &&
		notch.BackP50.Before(notch.BackP90.Time)) {
		t.Errorf("notch %v, rim %v, notch again %v to %v are out of order",
			notch.P50, rim.P50, notch.BackP50, notch.BackP90)
	}
	in.Profile.Shape, in.Profile.Length = track.OneWay, in.Profile.Length/2
	for _, p := range compute(t, in).Time.Points {
		if !p.BackP50.IsZero() {
			t.Errorf("%s is passed again on a walk that does not come back", p.Name)
		}
	}
}
