package signups

import (
	"fmt"
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

// carPart is a person's part with those whom they may know.
func carPart(c notify.Cars, me ride.Traveller) view.CarPart {
	part := view.CarPart{Says: c.PartLines(me, true)}
	p := c.Rides.PartOf(me)
	seen := []string{me.ID}
	for _, of := range []struct {
		ids  []string
		note string
	}{
		{[]string{p.PickedUp}, "brings you to the trailhead"}, {p.Picks, "rides to the trailhead with you"}, {[]string{p.Ferried}, "brings you from the end to the start"},
		{p.Ferries, "rides from the end to the start with you"}, {[]string{p.Back}, "takes you back to the start"}, {p.Takes, "rides back to the start with you"},
	} {
		for _, id := range of.ids {
			other, here := c.By[id]
			if !here || slices.Contains(seen, id) || !ride.Visibility(me, other).CanSee(privacy.KindRide) {
				continue
			}
			seen = append(seen, id)
			part.People = append(part.People, format.Line{Label: other.FirstName(), Value: c.Phones[id], URL: "tel:" + c.Phones[id],
				Note: format.SentenceCase(of.note) + "; lives in or near " + other.Sharing.Town + "."})
		}
	}
	if p.Shared() {
		part.Note = "Names and numbers stand here of those only who said yes to it, as long as you say yes too. The others you meet at the cars."
	}
	return part
}

// carsOnPlace fills in the cars of a person's page.
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
			p.CarForm = view.CarForm{} // the adult who brings the child says it
		}
	}
}

// carForm asks for a car and who may know of it, beginning with what is on file.
func carForm(url string, car signup.Car, share ride.Sharing, a ui.FormState) view.CarForm {
	if a.Values == nil {
		a.Values = map[string][]string{"plate": {car.Plate}, "car_make": {car.Make}, "car_colour": {car.Colour}, "ride_town": {share.Town}}
		if car.Seats > 0 {
			a.Values["car_seats"] = []string{fmt.Sprint(car.Seats)}
		}
		if share.Yes() {
			a.Values["ride_share"] = []string{"yes"}
		}
	}
	f := view.CarForm{URL: url, Car: carFields(a)}
	f.Share, f.Town = shareFields(a)
	return f
}

func carFields(a ui.FormState) []ui.Field {
	return []ui.Field{
		a.Bind(ui.Field{Name: "plate", Label: "Plate of the car you come in", Hint: "A car left in the lot tells us who is still out. It is deleted after the hike.", Optional: true, Short: true}),
		a.Bind(ui.Field{Name: "car_make", Label: "Make of car", Optional: true, Short: true}),
		a.Bind(ui.Field{Name: "car_colour", Label: "Colour", Optional: true, Short: true}),
		a.Bind(ui.Field{Name: "car_seats", Label: "Seats you can offer to others", Hint: "Beside you and your own children.", Kind: "number", Optional: true, Short: true}),
	}
}

func shareFields(a ui.FormState) (share, town ui.Field) {
	share = askBox(a, ui.Field{Name: "ride_share", Label: "Those with whom I share a car may see my first name, my number and where I live, if they say the same. I share rides to the trailhead too.", Optional: true,
		Hint: "Not ticked, nobody of them sees anything of you. Take the tick away whenever you like: then they see nothing any more."})
	return share, a.Bind(ui.Field{Name: "ride_town", Label: "Where you live or can be picked up", Hint: "The town is enough. It is asked for the tick above.", Optional: true, Short: true})
}
