package hike

import (
	"time"

	"saltbush/internal/signup"
)

// Suggest lists coming hikes with places left that a person's record speaks for: the walk
// covers them and the day is not hotter than the person is used to. The nearest comes
// first; the hike asked for is left out.
func Suggest(s signup.SignUp, coming []Listed, now time.Time) []Listed {
	var fit []Listed
	for _, l := range coming {
		open := l.Hike.ID != s.Hike && l.Hike.TakesSignUps(now) && l.Held+l.Confirmed < l.Hike.Places && l.Waiting == 0
		if open && s.WalkSpeaksFor(l.Trail) && s.UsedTo(l.Plan) && len(fit) < signup.MostSuggested {
			fit = append(fit, l)
		}
	}
	return fit
}
