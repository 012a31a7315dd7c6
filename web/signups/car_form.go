package signups

import (
	"time"

	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// CarAnswers is what a person says of their car and of sharing it.
type CarAnswers struct {
	Car  signup.Car
	Ride RideAnswer
}

// RideAnswer is whether the people who share a car may know how to reach a person, and where the
// person can be picked up.
type RideAnswer struct {
	Share bool
	Town  string
}

// rideAnswerOf returns the answer that a stored sharing came from.
func rideAnswerOf(s ride.Sharing) RideAnswer { return RideAnswer{Share: s.Yes(), Town: s.Town} }

// sharing returns what is stored of an answer given now.
func (a RideAnswer) sharing(now time.Time) ride.Sharing {
	s := ride.Sharing{}
	s.Say(a.Share, a.Town, now)
	return s
}

// CarForm asks for a car and who may know of it.
func CarForm() kit.Questions[CarAnswers] {
	return append(
		kit.PartOf(func(a *CarAnswers) *signup.Car { return &a.Car }, carQuestions()),
		kit.PartOf(func(a *CarAnswers) *RideAnswer { return &a.Ride }, rideQuestions())...,
	)
}

func carQuestions() kit.Questions[signup.Car] {
	return kit.Questions[signup.Car]{
		kit.Line(ui.Field{
			Name: "plate", Label: "Plate of the car you come in", Optional: true, Short: true,
			Hint: "A car left in the lot tells us who is still out. It is deleted after the hike.",
		}, func(c *signup.Car) *string { return &c.Plate }),
		kit.Line(ui.Field{Name: "car_make", Label: "Make of car", Optional: true, Short: true},
			func(c *signup.Car) *string { return &c.Make }),
		kit.Line(ui.Field{Name: "car_colour", Label: "Colour", Optional: true, Short: true},
			func(c *signup.Car) *string { return &c.Colour }),
		kit.Whole(ui.Field{
			Name: "car_seats", Label: "Seats you can offer to others", Optional: true, Short: true,
			Hint: "Beside you and your own children.",
		}, func(c *signup.Car) *int { return &c.Seats }, "Give a whole number of seats."),
	}
}

func rideQuestions() kit.Questions[RideAnswer] {
	return kit.Questions[RideAnswer]{
		kit.Box(ui.Field{
			Name: "ride_share", Optional: true,
			Label: "Those with whom I share a car may see my first name, my number and where I live, " +
				"if they say the same. I share rides to the trailhead too.",
			Hint: "Not ticked, nobody of them sees anything of you. Take the tick away whenever you like: " +
				"then they see nothing any more.",
		}, func(a *RideAnswer) *bool { return &a.Share }),
		kit.Line(ui.Field{
			Name: "ride_town", Label: "Where you live or can be picked up", Optional: true, Short: true,
			Hint: "The town is enough. It is asked for the tick above.",
		}, func(a *RideAnswer) *string { return &a.Town }),
	}
}

// ShuttleForm asks where cars stand at the end of a one-way hike, and how far that is by road.
func ShuttleForm() kit.Questions[ride.Shuttle] {
	return kit.Questions[ride.Shuttle]{
		kit.Line(ui.Field{Name: "end_lot", Label: "Where cars stand at the end"},
			func(s *ride.Shuttle) *string { return &s.EndLot }),
		kit.Minutes(ui.Field{
			Name: "drive_minutes", Label: "From there to the start by road", Short: true,
			Hint: "As you know the road, in the morning. Ten minutes to park and change cars are added.",
		}, func(s *ride.Shuttle) *time.Duration { return &s.Drive }),
	}
}
