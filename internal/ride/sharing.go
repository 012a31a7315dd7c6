package ride

import (
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
)

// Sharing is a person's yes to telling those with whom they share a car, if these say yes
// too, their first name, their number, and where they live or can be picked up. Its zero
// value is no.
type Sharing struct {
	Town  string
	Since time.Time // of the yes; zero for no
}

// Yes reports whether the person said yes and has not taken it back.
func (s Sharing) Yes() bool { return !s.Since.IsZero() }

// Say keeps a yes or a no. A yes that stands keeps its time; a no drops the town as well.
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

// Visibility is what one traveller sees of another with whom a car is shared: what riders
// see where both said yes, and nothing else. A child says nothing: its adult does.
func Visibility(viewer, other Traveller) privacy.Visibility {
	if viewer.Minor || other.Minor || !viewer.Sharing.Yes() || !other.Sharing.Yes() {
		return privacy.Visibility{As: []privacy.Capacity{privacy.AsPublic}}
	}
	return privacy.Visibility{As: []privacy.Capacity{privacy.AsRider}}
}

// FirstName is what riders call a person.
func (t Traveller) FirstName() string {
	if parts := strings.Fields(t.Name); len(parts) > 0 {
		return parts[0]
	}
	return ""
}

// CheckRide holds what somebody says of their car and of sharing it against the rules.
func CheckRide(c signup.Car, s Sharing) error {
	v := fault.Invalid{}
	signup.CheckCar(v, c)
	if s.Yes() {
		v.Require("ride_town", s.Town, 80, "Say where you live or can be picked up: the town is enough.")
	}
	return v.Err()
}
