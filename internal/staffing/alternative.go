package staffing

import (
	"cmp"
	"slices"

	"saltbush/internal/hike"
	"saltbush/internal/trail"
)

// Alternative is a trail that a hike could move to.
type Alternative struct {
	Trail  trail.Trail
	Harder bool
	// Drive is the drive between the trailheads.
	Drive trail.Drive
}

// Alternatives lists the trails a hike could move to: trails that are not harder first, and the
// nearest trailhead first among them.
func Alternatives(of trail.Trail, among []trail.Trail, roads trail.Roads) []Alternative {
	var list []Alternative
	for _, t := range among {
		if t.ID != of.ID {
			list = append(list, Alternative{Trail: t, Harder: t.HarderThan(of), Drive: roads.Between(of.ID, t.ID)})
		}
	}
	slices.SortStableFunc(list, func(a, b Alternative) int {
		return cmp.Or(hike.TrueFirst(!a.Harder, !b.Harder), hike.TrueFirst(a.Drive.Known, b.Drive.Known),
			cmp.Compare(a.Drive.Takes, b.Drive.Takes))
	})
	return list
}
