package ride

import (
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
)

// Sharing is a person's consent to telling the people they share a car with, if those agreed
// too, their first name, their number, and where they live or can be picked up. The zero value
// is no.
type Sharing struct {
	Town  string
	Since time.Time // of the yes; zero for no
}

// Yes reports whether the person agreed and did not take it back.
func (s Sharing) Yes() bool { return !s.Since.IsZero() }

// Say stores a yes or a no. A second yes does not change the time of the first; a no also
// clears the town.
func (s *Sharing) Say(yes bool, town string, now time.Time) {
	switch {
	case !yes:
		*s = Sharing{}
	case s.Yes():
		s.Town = town
	default:
		*s = Sharing{Town: town, Since: now}
	}
}

// Visibility is what one traveler sees of another in the same car: what riders may see if both
// agreed, and otherwise nothing. A child cannot agree; its adult does.
func Visibility(viewer, other Traveller) privacy.Visibility {
	if viewer.Minor || other.Minor || !viewer.Sharing.Yes() || !other.Sharing.Yes() {
		return privacy.Visibility{As: []privacy.Capacity{privacy.AsPublic}}
	}
	return privacy.Visibility{As: []privacy.Capacity{privacy.AsRider}}
}

// FirstName returns the first word of the name.
func (t Traveller) FirstName() string {
	if parts := strings.Fields(t.Name); len(parts) > 0 {
		return parts[0]
	}
	return ""
}

// CheckRide checks what a person says about their car and about sharing it.
func CheckRide(c signup.Car, s Sharing) error {
	v := fault.Invalid{}
	signup.CheckCar(v, c)
	if s.Yes() {
		v.Require("ride_town", s.Town, 80, "Say where you live or can be picked up: the town is enough.")
	}
	return v.Err()
}
