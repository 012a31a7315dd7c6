package hike

import (
	"time"

	"saltbush/internal/signup"
)

// Suggest lists up to signup.MostSuggested coming hikes with free places that suit a person: a
// recent walk of theirs covers the distance, and the day is not hotter than they are used to.
// The earliest comes first. It leaves out the hike the person asked for.
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
