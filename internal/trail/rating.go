package trail

import (
	"slices"

	"saltbush/internal/track"
)

// Classes lists the classes of hikes from the easiest up.
func Classes() []track.Class {
	return []track.Class{track.Easiest, track.Moderate, track.ModeratelyStrenuous, track.Strenuous, track.VeryStrenuous}
}

// Rating returns the trail's difficulty.
func (t Trail) Rating() track.Rating {
	return track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest)
}

// rank orders trails by class. If the heights are unknown, so is the class, and the trail
// counts as harder than any other.
func (t Trail) rank() int {
	if !t.Profile.HasElevation {
		return len(Classes())
	}
	return slices.Index(Classes(), t.Rating().Class)
}

// HarderThan reports whether the trail is of a harder class than another.
func (t Trail) HarderThan(other Trail) bool { return t.rank() > other.rank() }
