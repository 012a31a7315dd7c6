package paths

import (
	"saltbush/internal/account"
	"saltbush/internal/ref"
)

// Hike is the public page of a hike.
func Hike(id ref.Hike) string { return "/hikes/" + id.String() }

// Cars is the page of the cars and rides of a hike.
func Cars(id ref.Hike) string { return Hike(id) + "/cars" }

// Land is the page for the land manager.
func Land(id ref.Hike) string { return Hike(id) + "/land-manager" }

// Manage is the leader's page of a hike.
func Manage(id ref.Hike) string { return Hike(id) + "/manage" }

// Roll is the roll of a hike.
func Roll(id ref.Hike) string { return Hike(id) + "/roll" }

// Screening is the list of sign-ups to talk to before the hike.
func Screening(id ref.Hike) string { return Hike(id) + "/screening" }

// Sheet is the import of sign-ups from a file.
func Sheet(id ref.Hike) string { return Hike(id) + "/sign-ups/import" }

// Staffing is the page of the staff of a hike.
func Staffing(id ref.Hike) string { return Hike(id) + "/staffing" }

// TripSheet is the printed sheet of a hike.
func TripSheet(id ref.Hike) string { return Hike(id) + "/trip-sheet" }

// Watch is the watch of a hike, for signed-in staff.
func Watch(id ref.Hike) string { return Hike(id) + "/watch" }

// Trail is the page of a trail.
func Trail(id ref.Trail) string { return "/trails/" + id.String() }

// Place is a participant's own page.
func Place(secret account.Secret) string { return "/place/" + secret.Reveal() }
