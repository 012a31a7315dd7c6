package signups

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// carsPage shows who brings whom, as far as the viewer may see it.
func (s *Handlers) carsPage(r *http.Request, c notify.Cars, a ui.FormState) view.CarsPage {
	h, at := c.Hike, paths.Cars(c.Hike.ID)
	p := view.CarsPage{Page: s.Page(r, "Cars", "Desk"), Hike: h.Title, When: format.Day(h.Start, c.Zone()),
		BackURL: paths.Manage(h.ID), URL: at,
		Lede: "Who brings whom to the trailhead. Rides are worked out between those who said yes to it, from the " +
			"same town."}
	visible := s.carsVisibility(r, h)
	if c.Rides.OneWay {
		p.Lede = "This hike ends elsewhere. Everybody rides back from the end in one go, as few cars as can be are " +
			"moved before the walk, and whoever leaves one at the end has a seat to the start."
		p.Times = carTimes(c)
	}
	if visible.CanSee(privacy.KindName) {
		p.Shortages, p.Lots = shortages(c), carLots(c, visible)
	} else {
		p.Closed = kit.OpensWords("Sweep and assistants read the names", h)
	}
	open := h.State == hike.Draft || h.State == hike.Posted
	if open && c.Rides.OneWay {
		p.ShuttleURL, p.Shuttle = at+"/shuttle", shuttleFields(c, kit.FormAnswers(r, "cars/shuttle", a))
	}
	if h.State == hike.Posted {
		p.Told, p.Tell = announcedNote(c, at)
	}
	if m, on := staffMember(r, h); on && open {
		p.Mine = carPart(c, c.By[m.Person])
		p.Own = carForm(at+"/own", c.Book.Cars[m.Person], c.Book.Sharing[m.Person], kit.FormAnswers(r, "cars/own", a))
	}
	return p
}

// shuttleFields asks for the shuttle, beginning with what is known of it.
func shuttleFields(c notify.Cars, a ui.FormState) ui.Fields {
	return ShuttleForm().Filled(a, ride.Shuttle{EndLot: c.EndLot(), Drive: c.Book.Shuttle.Drive})
}

// announcedNote says whether people were told their part, and offers to tell them.
func announcedNote(c notify.Cars, at string) (ui.NoteText, ui.ButtonText) {
	if c.Book.Opened.IsZero() {
		return ui.NoteText{Kind: ui.NoteUnknown, Title: "Nobody was told yet",
				Text: "Until you tell it, walkers read nothing of this plan. From then on it is worked out anew with " +
					"every car that comes or goes, and those whose part it touches are written to."},
			ui.ButtonText{Label: "Tell everybody their part", URL: at + "/tell", Kind: ui.ButtonMain}
	}
	n := 0
	for _, t := range c.Book.Told {
		if t.Times > 0 {
			n++
		}
	}
	return ui.NoteText{Title: "Told since " + format.Moment(c.Book.Opened, c.Zone()),
		Text: format.Count(n, "person has", "people have") +
			" been written to. Whoever's part changes is written to again."}, ui.ButtonText{}
}

// carTimes lists the times of the shuttle, by the clock of the trailhead.
func carTimes(c notify.Cars) []format.Line {
	zone := c.Zone()
	atEnd, leave := c.Book.Shuttle.ShuttleTimes(c.Hike)
	lines := []format.Line{{Label: "At the end", Value: format.Unknown, Note: "Give the minutes by road below."}}
	if !atEnd.IsZero() {
		drive := format.Duration(c.Book.Shuttle.Drive)
		lines = []format.Line{
			{Label: "At the end", Value: format.Clock(atEnd, zone),
				Note: "at " + c.EndLot() + ": those who leave a car there, and those who ferry"},
			{Label: "Drive", Value: format.Clock(leave, zone), Note: drive + " by road to the start"},
		}
	}
	lines = append(lines,
		format.Line{Label: "Meet at the start", Value: format.Clock(c.Hike.Meet, zone), Note: "everybody"},
		format.Line{Label: "Walk", Value: format.Clock(c.Hike.Start, zone)})
	if back := c.Clocks; back.Known() {
		lines = append(lines, format.Line{Label: "Cars at the end again",
			Value: format.ClockRange(back.Expected, back.Latest, zone), Note: "then by road to the start"})
	}
	return lines
}

// shortages says what is missing, the most serious first.
func shortages(c notify.Cars) []ui.NoteText {
	var notes []ui.NoteText
	for _, l := range c.Rides.Lacks {
		n := ui.NoteText{Kind: ui.NoteGrave, Points: namesOf(c, l.Who)}
		switch l.Kind {
		case ride.LackDriver:
			n.Title, n.Text, n.Points = "Everybody is someone's passenger",
				"Nobody comes in a car. Ask who can drive, with how many seats.", nil
		case ride.LackFerry:
			n.Title, n.Text, n.Points = "No driver for the way to the start",
				"Whoever leaves a car at the end needs a seat in another one to the start. Ask for one more car, or "+
					"for more seats in those that come. Until then no car is moved.", nil
		case ride.LackSeats:
			n.Title, n.Text = format.Count(l.N, "seat", "seats")+" at the end too few",
				"These have no seat back to the start in one go. Ask for a car or for seats; a second trip means "+
					"waiting at the end."
		case ride.LackAdult:
			n.Title, n.Text = "A child without its adult",
				"Whom the form names as the adult has no place now. No seat is worked out for:"
		case ride.LackSecond:
			n.Kind, n.Title, n.Text = ui.NoteCaution, "An adult alone in a car with a child not theirs",
				"Never the two by themselves, in a car either. A second adult, or the guardian, rides along with:"
		case ride.LackRide:
			n.Kind, n.Title, n.Text = ui.NoteCaution, "Looks for a ride to the trailhead",
				"Nobody from the same town who said yes has a seat left for:"
		}
		notes = append(notes, n)
	}
	return notes
}

// namesOf returns full names, with the town of those who gave one.
func namesOf(c notify.Cars, ids []string) []string {
	var list []string
	for _, id := range ids {
		name := c.By[id].Name
		if town := c.By[id].Sharing.Town; town != "" {
			name += ", " + town
		}
		list = append(list, name)
	}
	return list
}

// carLots lists the cars by where they are parked during the walk.
func carLots(c notify.Cars, visible privacy.Visibility) []view.CarLot {
	start := carLot(c, "start", "Cars at the start", "They come straight to the meeting place.",
		visible, ride.StaysAtStart)
	if !c.Rides.OneWay {
		start.Title, start.Says = "Cars at the trailhead", "With whom they bring along."
		return append([]view.CarLot{start}, peopleWithoutCar(c, visible)...)
	}
	list := []view.CarLot{
		carLot(c, "end", "Cars at the end", "They stand at "+c.EndLot()+
			" before the walk, and take everybody back to the start after it.", visible, ride.StandsAtEnd),
		carLot(c, "ferry", "By the end to the start", "They fetch the drivers of those cars and stay at the start.",
			visible, ride.FerriesToHead),
		start,
	}
	return append(list, peopleWithoutCar(c, visible)...)
}

func carLot(c notify.Cars, id, title, says string, visible privacy.Visibility, which ride.OwnCar) view.CarLot {
	l := view.CarLot{ID: id, Title: title, Says: says, Cars: ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Driver"}, {Label: "Car"}, {Label: "Seats for others", Figure: true},
			{Label: "Takes along"}}}}
	for _, t := range c.People {
		p := c.Rides.PartOf(t)
		if p.Own != which {
			continue
		}
		l.Cars.Rows = append(l.Cars.Rows, []ui.Cell{travellerCell(c, t, visible), {Text: carText(t.Car, visible)},
			{Text: strconv.Itoa(t.Car.Seats)}, {Text: passengersText(c, t, p)}})
	}
	if len(l.Cars.Rows) == 0 {
		l.Says = "None."
	}
	return l
}

// carText describes a car as far as the viewer may see it.
func carText(car signup.Car, visible privacy.Visibility) string {
	if !visible.CanSee(privacy.KindPlate) {
		return "plate opens the evening before"
	}
	return car.String()
}

func travellerCell(c notify.Cars, t ride.Traveller, visible privacy.Visibility) ui.Cell {
	var notes []string
	if t.Staff {
		notes = append(notes, "staff")
	}
	if visible.CanSee(privacy.KindContact) || t.Staff {
		notes = append(notes, c.Phones[t.ID])
	}
	if town := t.Sharing.Town; town != "" && visible.CanSee(privacy.KindRide) {
		notes = append(notes, town)
	}
	return ui.Cell{Text: t.Name, Note: strings.Join(notes, ", ")}
}

// passengersText says for the staff who sits in a car on which way.
func passengersText(c notify.Cars, _ ride.Traveller, p ride.Part) string {
	var parts []string
	for _, of := range []struct {
		way string
		ids []string
	}{{"to the trailhead", p.Picks}, {"to the start", p.Ferries}, {"back", p.Takes}} {
		if len(of.ids) == 0 {
			continue
		}
		var names []string
		for _, id := range of.ids {
			names = append(names, c.By[id].Name)
		}
		parts = append(parts, fmt.Sprintf("%s: %s", of.way, format.Names(names)))
	}
	if len(parts) == 0 {
		return "nobody"
	}
	return strings.Join(parts, "; ")
}

// peopleWithoutCar lists who comes without a car, and how.
func peopleWithoutCar(c notify.Cars, visible privacy.Visibility) []view.CarLot {
	l := view.CarLot{ID: "without", Title: "Without a car", Says: "How they come to the trailhead, and back.",
		Cars: ui.LedgerText{Cards: true,
			Columns: []ui.Column{{Label: "Name"}, {Label: "There"}, {Label: "Back"}}}}
	for _, t := range c.People {
		p := c.Rides.PartOf(t)
		if p.Own != "" {
			continue
		}
		there, back := "in their own way", "as they came"
		if x, rides := c.By[p.PickedUp]; rides {
			there = "with " + x.Name
		} else if x, rides := c.By[t.Adult]; rides {
			there = "with " + x.Name + ", who answers for them"
		}
		if x, rides := c.By[p.Back]; rides {
			back = "with " + x.Name
		} else if c.Rides.OneWay {
			back = "no seat yet"
		}
		l.Cars.Rows = append(l.Cars.Rows, []ui.Cell{travellerCell(c, t, visible), {Text: there}, {Text: back}})
	}
	if len(l.Cars.Rows) == 0 {
		return nil
	}
	return []view.CarLot{l}
}
