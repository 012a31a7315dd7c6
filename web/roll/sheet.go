package roll

import (
	"saltbush/internal/format"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/roll/view"
)

// sheet is the frame of the hand-over by the phone: what does not change on the trail. The script
// fills in who is missing.
func (f foldedRoll) sheet(emergency string) *view.RollSheet {
	lines := []format.Line{{Label: "Emergency number", Value: emergency}, {Label: "Trail", Value: f.Trail.Name}}
	if len(f.Trail.Profile.Samples) > 0 {
		at := f.Trail.Profile.SampleAt(f.trailhead()).At
		lines = append(lines, format.Line{
			Label: "Trailhead, WGS84", Value: format.Position(at), Note: format.DegreesMinutes(at),
		})
	}
	if f.Trail.Meeting != "" {
		lines = append(lines, format.Line{Label: "How to get there", Value: f.Trail.Meeting})
	}
	return &view.RollSheet{Lines: lines}
}

// trailhead is where the trail's first trailhead lies, its start if no point is one.
func (f foldedRoll) trailhead() unit.Length {
	for _, x := range f.Trail.Points {
		if x.Kind == trail.Trailhead {
			return x.Along
		}
	}
	return 0
}
