package track

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Class is the difficulty that the public is told.
type Class string

// Classes from the easiest up.
const (
	Easiest             Class = "easiest"
	Moderate            Class = "moderate"
	ModeratelyStrenuous Class = "moderately strenuous"
	Strenuous           Class = "strenuous"
	VeryStrenuous       Class = "very strenuous"
)

// Rating is a difficulty number with its class. Raised is the reason why a steep stretch
// raised the class, else empty.
type Rating struct {
	Number int
	Class  Class
	Raised string
}

// Our judgment: 12 degrees over 100 m, the slope from which Langmuir's rule (as
// Naismith's was corrected) counts a descent as steep and slow. The agency that publishes
// the number raises a short steep trail by hand; this says when.
var steepFrom = unit.Slope(math.Tan(12 * math.Pi / 180))

// What a plan prints to explain a rating.
const (
	RatingFormula = "root of (climb in feet x 2 x miles)"
	RatingSource  = "a US national park's difficulty formula"
	ClassFormula  = "class of the number, raised where a stretch is steeper than 12 degrees"
	ClassSource   = "a US national park's classes; ties and raising are house judgement"
)

// Rate gives the difficulty by R = sqrt(climb in feet x 2 x miles), as published by a US
// national park: below 50 easiest, to 100 moderate, to 150 moderately strenuous, to 200
// strenuous, above that very strenuous. Our judgment: ties go to the harder class, and
// a stretch steeper than 12 degrees, up or down, raises easiest to moderate. The number is
// cut to a whole one, never rounded up, so that it never stands beside the wrong class.
func Rate(length, ascent unit.Length, steepest unit.Slope) Rating {
	r := math.Sqrt(max(0, ascent.Feet()) * 2 * max(0, length.Miles()))
	number := int(min(r+1e-6, 1e6)) // feet and miles came from meters: an exact 50 stays 50
	rating := Rating{Number: number, Class: classOf(number)}
	if steep := math.Abs(float64(steepest)); rating.Class == Easiest && steep > float64(steepFrom) {
		rating.Class = Moderate
		rating.Raised = fmt.Sprintf("raised from easiest: a stretch of 100 m or more has a slope of %.0f %%", steep*100)
	}
	return rating
}

func classOf(number int) Class {
	switch {
	case number < 50:
		return Easiest
	case number < 100:
		return Moderate
	case number < 150:
		return ModeratelyStrenuous
	case number < 200:
		return Strenuous
	}
	return VeryStrenuous
}
