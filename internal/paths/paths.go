package paths

import (
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/ref"
)

func Cars(id ref.Hike) string { return Hike(id) + "/cars" }

func Hike(id ref.Hike) string { return fmt.Sprintf("/hikes/%d", id) }

func Manage(id ref.Hike) string { return Hike(id) + "/manage" }

func Land(id ref.Hike) string { return Hike(id) + "/land-manager" }

func Roll(id ref.Hike) string { return Hike(id) + "/roll" }

func Screening(id ref.Hike) string { return Hike(id) + "/screening" }

func Sheet(id ref.Hike) string { return Hike(id) + "/sign-ups/import" }

func Place(secret account.Secret) string { return "/place/" + secret.Reveal() }

func Staffing(id ref.Hike) string { return Hike(id) + "/staffing" }

func Trail(id ref.Trail) string { return fmt.Sprintf("/trails/%d", id) }

func TripSheet(id ref.Hike) string { return Hike(id) + "/trip-sheet" }

func Watch(id ref.Hike) string { return Hike(id) + "/watch" }
