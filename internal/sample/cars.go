package sample

import (
	"context"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
)

// towns returns invented towns around the reserve.
func towns() []string { return []string{"Tarrow Mills", "Salt Ford", "Tarrow Mills", "Lantern Flat"} }

// addCars stores the shuttle of the coming one-way hike: the lot at the end, the cars of the
// staff, and who agreed to share a car. The plan of the rides is published.
func (l *loader) addCars(ctx context.Context, o *outing) error {
	if l.Rides == nil || o.trail != traverse || !o.hike.Start.After(l.now) {
		return nil
	}
	return l.Rides.ChangeRides(ctx, o.hike.ID, func(h hike.Hike, places []signup.SignUp, b *ride.Book) error {
		agreed := l.now.Add(-30 * time.Hour)
		// Our judgment: graded road, slow in the dark.
		b.Shuttle = ride.Shuttle{EndLot: "Kettle Rim end", Drive: 50 * time.Minute, By: h.Staff[0].Name, At: agreed}
		b.Opened = l.now.Add(-2 * time.Hour)
		for i, p := range places {
			if !p.Minor && i%4 != 3 {
				b.Sharing[p.ID] = ride.Sharing{Town: towns()[i%4], Since: p.Asked}
			}
		}
		for i, m := range h.Staff {
			if i < 2 {
				b.Cars[m.Person] = signup.Car{Plate: []string{"TBV 014", "TBV 027"}[i], Make: "Ocotillo van",
					Colour: []string{"white", "sand"}[i], Seats: 4 - i}
				b.Sharing[m.Person] = ride.Sharing{Town: towns()[i], Since: agreed}
			}
		}
		return nil
	})
}
