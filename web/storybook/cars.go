package storybook

import (
	"time"

	"saltbush/internal/format"
	"saltbush/internal/ride"
	"saltbush/web/signups"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

// carsPages lists the states of the pages about cars.
func carsPages() []StatePage {
	short := carsSample()
	short.Shortages = []ui.NoteText{{Kind: ui.NoteGrave, Title: "2 seats at the end too few",
		Text: "These have no seat back to the start in one go. Ask for a car or for seats; a second trip means " +
			"waiting at the end.", Points: []string{"Teo Reyes, Salt Ford", "Lu Dunn"}},
		{Kind: ui.NoteCaution, Title: "Looks for a ride to the trailhead",
			Text:   "Nobody from the same town who said yes has a seat left for:",
			Points: []string{"Teo Reyes, Salt Ford"}}}
	short.Shuttle = signups.ShuttleForm().Fields(ui.FormState{
		Values: map[string][]string{"end_lot": {"the north lot"}, "drive_minutes": {"soon"}},
		Errors: map[string]string{"drive_minutes": "Give whole minutes."},
	})
	short.Told, short.Tell = ui.NoteText{Kind: ui.NoteUnknown, Title: "Nobody was told yet",
		Text: "Until you tell it, walkers read nothing of this plan."},
		ui.ButtonText{Label: "Tell everybody their part", URL: "/hikes/12/cars/tell", Kind: ui.ButtonMain}
	closed := carsSample()
	closed.Lots, closed.Closed = nil,
		"Sweep and assistants read the names on the day of the hike, from Sat 9 May, 06:00."
	return []StatePage{
		{"cars", "Cars of a one-way hike", signupsview.Cars(carsSample())},
		{"cars-short", "Cars with too few seats, not told", signupsview.Cars(short)},
		{"cars-closed", "Cars before names open", signupsview.Cars(closed)},
		{"place-cars", "A place with a part in the cars", signupsview.Place(placeCarsSample())},
	}
}

func carsSample() signupsview.CarsPage {
	columns := []ui.Column{{Label: "Driver"}, {Label: "Car"}, {Label: "Seats for others", Figure: true},
		{Label: "Takes along"}}
	return signupsview.CarsPage{
		Page: sampleStaffPage("Cars", "Desk"), Hike: "Potter's Tanks, one way", When: "Sunday 10 May 2026",
		BackURL: "/hikes/12/manage", URL: "/hikes/12/cars",
		Lede: "This hike ends elsewhere. Everybody rides back from the end in one go, as few cars as can be are " +
			"moved before the walk, and whoever leaves one at the end has a seat to the start.",
		Times: []format.Line{{Label: "At the end", Value: "05:25",
			Note: "at the north lot: those who leave a car there, and those who ferry"},
			{Label: "Drive", Value: "05:35", Note: "25 min by road to the start"},
			{Label: "Meet at the start", Value: "06:00", Note: "everybody"}, {Label: "Walk", Value: "06:30"},
			{Label: "Cars at the end again", Value: "10:15 to 11:21", Note: "then by road to the start"}},
		Lots: []signupsview.CarLot{
			{ID: "end", Title: "Cars at the end",
				Says: "They stand at the north lot before the walk, and take everybody back to the start after it.",
				Cars: ui.LedgerText{Cards: true, Columns: columns, Rows: [][]ui.Cell{
					{{Text: "Amaya Reyes", Note: "602 555 0144, Dry Mills"}, {Text: "sand Tumbril, KXR 204"},
						{Text: "4"},
						{Text: "back: Oren Vale, Lu Dunn and Teo Reyes"}}}}},
			{ID: "ferry", Title: "By the end to the start",
				Says: "They fetch the drivers of those cars and stay at the start.",
				Cars: ui.LedgerText{Cards: true, Columns: columns, Rows: [][]ui.Cell{
					{{Text: "Oren Vale", Note: "staff, 602 555 0101"}, {Text: "red Ocotillo van, DRY 118"}, {Text: "2"},
						{Text: "to the start: Amaya Reyes"}}}}},
			{ID: "start", Title: "Cars at the start", Says: "None."},
		},
		ShuttleURL: "/hikes/12/cars/shuttle",
		Shuttle: signups.ShuttleForm().Filled(ui.FormState{},
			ride.Shuttle{EndLot: "the north lot", Drive: 25 * time.Minute}),
		Told: ui.NoteText{Title: "Told since Fri 8 May, 18:05",
			Text: "4 people have been written to. Whoever's part changes is written to again."},
		Mine: carPartSample(), Own: carFormSample("/hikes/12/cars/own"),
	}
}

func carPartSample() signupsview.CarPart {
	return signupsview.CarPart{
		Says: []format.Line{{Label: "05:25", Value: "Be at the north lot with your car",
			Note: "Those who leave theirs there ride on with you."},
			{Label: "05:35", Value: "Bring Amaya to the start", Note: "Be there by 06:00; your car stays there."},
			{Label: "After the walk", Value: "Ride back to the start with Amaya",
				Note: "Nobody leaves before the count."}},
		People: []format.Line{{Label: "Amaya", Value: "602 555 0144", URL: "tel:602 555 0144",
			Note: "Rides from the end to the start with you; lives in or near Dry Mills."}},
		Note: "Names and numbers stand here of those only who said yes to it, as long as you say yes too. The " +
			"others you meet at the cars.",
	}
}

func carFormSample(url string) signupsview.CarForm {
	state := ui.FormState{
		Values: map[string][]string{"plate": {"DRY 118"}, "car_make": {"Ocotillo van"}, "car_colour": {"red"},
			"car_seats": {"2"}, "ride_share": {"yes"}},
		Errors: map[string]string{"ride_town": "Say where you live or can be picked up: the town is enough."},
	}
	return signupsview.CarForm{URL: url, Fields: signups.CarForm().Fields(state)}
}

func placeCarsSample() signupsview.PlacePage {
	p := placeSample()
	p.Hike, p.Cars, p.CarForm = "Potter's Tanks, one way", carPartSample(), carFormSample("/place/K7QX/cars")
	return p
}
