package paths

import (
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

func Cars(id hike.HikeID) string { return Hike(id) + "/cars" }

func Hike(id hike.HikeID) string { return fmt.Sprintf("/hikes/%d", id) }

func Manage(id hike.HikeID) string { return Hike(id) + "/manage" }

func Land(id hike.HikeID) string { return Hike(id) + "/land-manager" }

func Roll(id hike.HikeID) string { return Hike(id) + "/roll" }

func Screening(id hike.HikeID) string { return Hike(id) + "/screening" }

func Sheet(id hike.HikeID) string { return Hike(id) + "/sign-ups/bring" }

func Place(secret account.Secret) string { return "/place/" + secret.Reveal() }

func Staffing(id hike.HikeID) string { return Hike(id) + "/staffing" }

func Trail(id hike.TrailID) string { return fmt.Sprintf("/trails/%d", id) }

func TripSheet(id hike.HikeID) string { return Hike(id) + "/trip-sheet" }

func Watch(id hike.HikeID) string { return Hike(id) + "/watch" }
