package web

import (
	"fmt"
	"net/http"
	"slices"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/web/view"
)

// called is what one traveller may call another: by their first name where both said yes,
// and children by their adult.
func (c cars) called(me, other hike.Traveller) string {
	mine := other.Minor && other.Adult == me.ID || me.Minor && me.Adult == other.ID
	if mine || hike.RideSight(me, other).Sees(hike.KindRide) {
		return other.FirstName()
	}
	return ""
}

// others names those whom the traveller may know, and counts the rest.
func (c cars) others(me hike.Traveller, ids []string, named bool) string {
	var names []string
	more := 0
	for _, id := range ids {
		if name := c.called(me, c.by[id]); named && name != "" {
			names = append(names, name)
		} else {
			more++
		}
	}
	if more > 0 && len(names) > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	} else if more > 0 {
		return format.Count(more, "person", "people")
	}
	return format.Names(names)
}

// whose names the driver of a car, or says who will point it out.
func (c cars) whose(me hike.Traveller, driver, points string, named bool) string {
	if name := c.called(me, c.by[driver]); named && name != "" {
		return "with " + name
	}
	return "in a car that " + points
}

// says is what a person does with cars, in the order of the day. Without names it can stand
// in a mail.
func (c cars) says(me hike.Traveller, named bool) []format.Line {
	p, zone := c.rides.PartOf(me), c.zone()
	atEnd, leave := c.book.Shuttle.ShuttleTimes(c.hike)
	meet := format.Clock(c.hike.Meet, zone)
	var lines []format.Line
	add := func(label, value, note string) {
		lines = append(lines, format.Line{Label: label, Value: value, Note: note})
	}
	clock := func(t bool, at string) string {
		if t {
			return at
		}
		return "Before the walk"
	}
	known := !atEnd.IsZero()
	switch {
	case me.Minor && me.Adult != "":
		add("Before the walk", "Come with the adult who answers for you", "You sit in one car with them on every way.")
	case p.Own == hike.StandsAtEnd:
		add(clock(known, format.Clock(atEnd, zone)), "Bring your car to "+c.endLot(), "It stands there until you come back to it on foot. Lock it, and keep your key on you.")
		add(clock(known, format.Clock(leave, zone)), "Ride from there to the start "+c.whose(me, p.Ferried, "the leader names there", named), "Be there by "+meet+".")
	case p.Own == hike.FerriesToHead:
		add(clock(known, format.Clock(atEnd, zone)), "Be at "+c.endLot()+" with your car", "Those who leave theirs there ride on with you.")
		add(clock(known, format.Clock(leave, zone)), "Bring "+c.others(me, p.Ferries, named)+" to the start", "Be there by "+meet+"; your car stays there.")
	case p.Own == hike.StaysAtStart:
		add(meet, "Come to the meeting place with your car", "")
	case p.PickedUp != "":
		add("Before the walk", "Ride to the meeting place "+c.whose(me, p.PickedUp, "the leader names", named), "Agree where and when with them; be there by "+meet+".")
	default:
		add(meet, "Come to the meeting place in your own way", "")
	}
	if len(p.Picks) > 0 {
		add("On your way", "Bring "+c.others(me, p.Picks, named)+" along", "Agree where and when with them.")
	}
	return append(lines, c.backLines(me, p, named)...)
}

// backLines say how somebody comes from the end back to the start.
func (c cars) backLines(me hike.Traveller, p hike.Part, named bool) []format.Line {
	if !c.rides.OneWay {
		return nil
	}
	after := format.Line{Label: "After the walk"}
	switch {
	case p.Back == me.ID && len(p.Takes) > 0:
		after.Value, after.Note = "Take "+c.others(me, p.Takes, named)+" to the start in your car", "Nobody leaves before the count."
	case p.Back == me.ID:
		after.Value, after.Note = "Your car is there", "Nobody leaves before the count."
	case p.Back != "":
		after.Value, after.Note = "Ride back to the start "+c.whose(me, p.Back, "the leader names there", named), "Nobody leaves before the count."
	default:
		after.Value, after.Note = "There is no seat back to the start for you yet", "The leader looks for one. If you can bring a car, or somebody can fetch you at the end, say so."
	}
	return []format.Line{after}
}

// part is a person's part with those whom they may know.
func (c cars) part(me hike.Traveller) view.CarPart {
	part := view.CarPart{Says: c.says(me, true)}
	p := c.rides.PartOf(me)
	seen := []string{me.ID}
	for _, of := range []struct {
		ids  []string
		note string
	}{
		{[]string{p.PickedUp}, "brings you to the trailhead"}, {p.Picks, "rides to the trailhead with you"}, {[]string{p.Ferried}, "brings you from the end to the start"},
		{p.Ferries, "rides from the end to the start with you"}, {[]string{p.Back}, "takes you back to the start"}, {p.Takes, "rides back to the start with you"},
	} {
		for _, id := range of.ids {
			other, here := c.by[id]
			if !here || slices.Contains(seen, id) || !hike.RideSight(me, other).Sees(hike.KindRide) {
				continue
			}
			seen = append(seen, id)
			part.People = append(part.People, format.Line{Label: other.FirstName(), Value: c.phones[id], URL: "tel:" + c.phones[id],
				Note: format.SentenceCase(of.note) + "; lives in or near " + other.Sharing.Town + "."})
		}
	}
	if p.Shared() {
		part.Note = "Names and numbers stand here of those only who said yes to it, as long as you say yes too. The others you meet at the cars."
	}
	return part
}

// onPlace fills in the cars of a person's page.
func (c cars) onPlace(p *view.PlacePage, r *http.Request, place hike.SignUp, a view.Answers) {
	switch c.hike.State {
	case hike.Draft, hike.CalledOff, hike.Closed:
		return
	}
	if place.State == hike.Withdrawn || place.State == hike.TurnedAway {
		return
	}
	if me, comes := c.by[place.ID]; comes && !c.book.Opened.IsZero() {
		p.Cars = c.part(me)
	} else if c.rides.OneWay {
		p.Cars.Note = "This hike ends elsewhere. Who brings which car where is told here and by mail, before the day."
	}
	if c.hike.State == hike.Posted {
		p.CarForm = carForm("/place/"+secretIn(r)+"/cars", place.Car, c.book.Sharing[place.ID], a)
		if place.Minor {
			p.CarForm = view.CarForm{} // the adult who brings the child says it
		}
	}
}

// carForm asks for a car and who may know of it, beginning with what is on file.
func carForm(url string, car hike.Car, share hike.Sharing, a view.Answers) view.CarForm {
	if a.Typed == nil {
		a.Typed = map[string][]string{"plate": {car.Plate}, "car_make": {car.Make}, "car_colour": {car.Colour}, "ride_town": {share.Town}}
		if car.Seats > 0 {
			a.Typed["car_seats"] = []string{fmt.Sprint(car.Seats)}
		}
		if share.Yes() {
			a.Typed["ride_share"] = []string{"yes"}
		}
	}
	f := view.CarForm{URL: url, Car: carFields(a)}
	f.Share, f.Town = shareFields(a)
	return f
}

func carFields(a view.Answers) []view.Field {
	return []view.Field{
		a.Asked(view.Field{Name: "plate", Label: "Plate of the car you come in", Hint: "A car left in the lot tells us who is still out. It is deleted after the hike.", Optional: true, Short: true}),
		a.Asked(view.Field{Name: "car_make", Label: "Make of car", Optional: true, Short: true}),
		a.Asked(view.Field{Name: "car_colour", Label: "Colour", Optional: true, Short: true}),
		a.Asked(view.Field{Name: "car_seats", Label: "Seats you can offer to others", Hint: "Beside you and your own children.", Kind: "number", Optional: true, Short: true}),
	}
}

func shareFields(a view.Answers) (share, town view.Field) {
	share = askBox(a, view.Field{Name: "ride_share", Label: "Those with whom I share a car may see my first name, my number and where I live, if they say the same. I share rides to the trailhead too.", Optional: true,
		Hint: "Not ticked, nobody of them sees anything of you. Take the tick away whenever you like: then they see nothing any more."})
	return share, a.Asked(view.Field{Name: "ride_town", Label: "Where you live or can be picked up", Hint: "The town is enough. It is asked for the tick above.", Optional: true, Short: true})
}
