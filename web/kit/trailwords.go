package kit

import (
	"fmt"
	"strconv"

	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/chart"
	"saltbush/web/ui"
)

// Scouted says how far the last scout report can be relied on. It never says that a trail is safe.
func Scouted(g trail.Ground, on unit.Date, rules rules.Rules) (ui.StampText, string) {
	state, last, age := g.ScoutedFor(on, rules)
	stamp := ui.ScoutedStamp(string(state))
	if state == trail.NotScouted {
		return stamp, "Nobody has reported walking this trail. Its state is not known."
	}
	stands := int(rules.ScoutStands(on.Time()).Hours() / 24)
	return stamp,
		fmt.Sprintf("Walked on %s by %s, %s before. At this time of the year a report stands %d days: this "+
			"organization's rule.", last.Walked.Words(), last.By, format.Count(age, "day", "days"), stands)
}

// TrailLine is one trail of a list.
func TrailLine(t trail.Trail, u format.System) ui.TrailLine {
	line := ui.TrailLine{
		Name: t.Name, URL: paths.Trail(t.ID), Summary: t.Summary,
		Length: format.Length(t.Profile.Length, u), Shape: string(t.Profile.Shape),
	}
	if t.Profile.HasElevation {
		rating := RatingOf(t)
		line.Ascent, line.Highest, line.Lowest = format.Height(t.Profile.Ascent, u),
			format.Height(t.Profile.Highest, u), format.Height(t.Profile.Lowest, u)
		line.Class, line.Number = string(rating.Class), strconv.Itoa(rating.Number)
	}
	return line
}

// RatingOf rates how hard a trail is.
func RatingOf(t trail.Trail) track.Rating {
	return track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest)
}

// DrawnPoints are the points of a trail for its drawings.
func DrawnPoints(t trail.Trail) []chart.DrawnPoint {
	points := make([]chart.DrawnPoint, len(t.Points))
	for i, p := range t.Points {
		points[i] = chart.DrawnPoint{Kind: string(p.Kind), Name: p.Name, Along: p.Along}
	}
	return points
}
