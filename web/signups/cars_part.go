package signups

import (
	"net/http"
	"slices"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/privacy"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// carPart is a person's own part, with the people whom they may know.
func carPart(c notify.Cars, me ride.Traveller) view.CarPart {
	part := view.CarPart{Says: c.PartLines(me, true)}
	p := c.Rides.PartOf(me)
	seen := []string{me.ID}
	for _, of := range []struct {
		ids  []string
		note string
	}{
		{[]string{p.PickedUp}, "brings you to the trailhead"}, {p.Picks, "rides to the trailhead with you"},
		{[]string{p.Ferried}, "brings you from the end to the start"},
		{p.Ferries, "rides from the end to the start with you"}, {[]string{p.Back}, "takes you back to the start"},
		{p.Takes, "rides back to the start with you"},
	} {
		for _, id := range of.ids {
			other, here := c.By[id]
			if !here || slices.Contains(seen, id) || !ride.Visibility(me, other).CanSee(privacy.KindRide) {
				continue
			}
			seen = append(seen, id)
			part.People = append(part.People,
				format.Line{Label: other.FirstName(), Value: c.Phones[id], URL: "tel:" + c.Phones[id],
					Note: format.SentenceCase(of.note) + "; lives in or near " + other.Sharing.Town + "."})
		}
	}
	if p.Shared() {
		part.Note = "Names and numbers stand here of those only who said yes to it, as long as you say yes too. The " +
			"others you meet at the cars."
	}
	return part
}

// carsOnPlace adds the cars to a person's page.
func carsOnPlace(c notify.Cars, p *view.PlacePage, r *http.Request, place signup.SignUp, a ui.FormState) {
	switch c.Hike.State {
	case hike.Draft, hike.CalledOff, hike.Closed:
		return
	}
	if place.State == signup.Withdrawn || place.State == signup.TurnedAway {
		return
	}
	if me, comes := c.By[place.ID]; comes && !c.Book.Opened.IsZero() {
		p.Cars = carPart(c, me)
	} else if c.Rides.OneWay {
		p.Cars.Note = "This hike ends elsewhere. Who brings which car where is told here and by mail, before the day."
	}
	if c.Hike.State == hike.Posted {
		p.CarForm = carForm("/place/"+kit.SecretIn(r)+"/cars", place.Car, c.Book.Sharing[place.ID], a)
		if place.Minor {
			p.CarForm = view.CarForm{} // the child's adult fills it in
		}
	}
}

// carForm asks for a car and who may know of it, beginning with what is stored.
func carForm(url string, car signup.Car, share ride.Sharing, a ui.FormState) view.CarForm {
	return view.CarForm{URL: url, Fields: CarForm().Filled(a, CarAnswers{Car: car, Ride: rideAnswerOf(share)})}
}
