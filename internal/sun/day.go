package sun

import (
	"errors"
	"fmt"
	"math"
	"time"

	"saltbush/internal/unit"
)

// Zenith angles, in degrees, of the events of a day. Rise and set: upper limb on a level
// sea horizon, 16' of disc and 34' of refraction (US Naval Observatory; NOAA writes
// 90.833). Civil twilight: the Sun's center 6 degrees below (US Naval Observatory).
const (
	zenithOfRise  = 90.833
	zenithOfCivil = 96.0
)

// Source is where the events of a day come from, as a plan explains them.
const Source = "NOAA solar calculator after Meeus 1998, ch. 25 and 28; zenith 90.833 degrees for rise and set, 96 " +
	"for " +
	"civil twilight (US Naval Observatory)"

// Errors of DayOf. With the first two, the Day still holds the events that happen.
var (
	// ErrNeverRises means that the Sun stays below the horizon all day.
	ErrNeverRises = errors.New("the sun does not rise on this day")
	// ErrNeverSets means that the Sun does not set, or does not rise again, on this day.
	ErrNeverSets = errors.New("the sun does not set on this day")
	// ErrOffGlobe means that the position is not on the globe, or not a number.
	ErrOffGlobe = errors.New("the position is off the globe")
)

// Day is the light of one civil day, in the order in which it happens. A zero time means
// that the event does not happen.
type Day struct {
	CivilDawn, Rise, Noon, Set, CivilDusk time.Time
}

// DayOf returns the light of the civil day of date in date.Location(): the solar noon nearest to 12:00 by that day's
// clock, the dawn before it and the dusk after it. So Rise always comes before Set; where the Sun sets after
// midnight, as in a far northern June, Set carries the next date. Times are rounded to the second and are within a
// minute of the Naval Observatory's between 72 degrees south and north.
//
// On a polar day or night the error is ErrNeverSets or ErrNeverRises. Noon and any twilight are still set, and the
// missing times are zero.
func DayOf(date time.Time, p unit.Position) (Day, error) {
	if !p.Valid() {
		return Day{}, fmt.Errorf("%w: latitude %g, longitude %g", ErrOffGlobe, p.Lat.Degrees(), p.Lon.Degrees())
	}
	noon := noonOf(date, p)
	var d Day
	d.Noon = noon.Round(time.Second)
	d.CivilDawn = crossing(noon, -1, zenithOfCivil, p)
	d.Rise = crossing(noon, -1, zenithOfRise, p)
	d.Set = crossing(noon, +1, zenithOfRise, p)
	d.CivilDusk = crossing(noon, +1, zenithOfCivil, p)
	return d, d.missing(noon, p)
}

func (d Day) missing(noon time.Time, p unit.Position) error {
	switch {
	case !d.Rise.IsZero() && !d.Set.IsZero():
		return nil
	case height(noon, zenithOfRise, p) > 0:
		return ErrNeverSets
	default:
		return ErrNeverRises
	}
}

// noonOf iterates to the meridian from 12:00 by the clock. time.Date takes clock times, so days of 23 or 25 hours
// need no special case. The second step corrects for the change of the equation of time, at most a third of a second
// in half a day.
func noonOf(date time.Time, p unit.Position) time.Time {
	year, month, day := date.Date()
	t := time.Date(year, month, day, 12, 0, 0, 0, date.Location())
	for range 3 {
		hour := hourAngle(t, p, orbitAt(centuries(t)))
		t = t.Add(-time.Duration(hour / (2 * math.Pi) * 24 * float64(time.Hour)))
	}
	return t
}

// height returns how far the Sun is above the circle of a zenith angle, in radians.
func height(t time.Time, zenith float64, p unit.Position) float64 {
	return float64(At(t, p).Elevation) - (90-zenith)*degree
}

// crossing finds when the Sun passes a zenith angle between noon and the midnight before (side -1) or after (side +1)
// it. It returns the zero time if it does not. Between the two the Sun moves in one direction (except within half a
// degree of a pole), so bisection finds the only crossing, even near the polar circles where formulas in hour angles
// fail.
func crossing(noon time.Time, side time.Duration, zenith float64, p unit.Position) time.Time {
	up, down := noon, noon.Add(side*12*time.Hour)
	if height(up, zenith, p) <= 0 || height(down, zenith, p) > 0 {
		return time.Time{}
	}
	for down.Sub(up).Abs() > 50*time.Millisecond {
		middle := up.Add(down.Sub(up) / 2)
		if height(middle, zenith, p) > 0 {
			up = middle
		} else {
			down = middle
		}
	}
	return up.Round(time.Second)
}
