package roll

import (
	"net/http"

	"saltbush/assets"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// workerScope is all that the service worker of the roll may see: no page outside it ever
// passes through the worker.
const workerScope = "/hikes/"

// ServeWorker serves the service worker under an address that stays, asked for anew each
// time, so that a phone never lives on with an old one.
func ServeWorker(w http.ResponseWriter, r *http.Request) {
	script := r.Clone(r.Context())
	script.URL.Path = assets.Prefix + "roll-worker.js"
	w.Header().Set("Service-Worker-Allowed", workerScope)
	assets.Handler().ServeHTTP(w, script)
}

// OfflineCopy tells the worker whether a phone may hold a copy of the roll. It holds what
// is marked so and nothing else, and drops its copy once the mark is gone.
func OfflineCopy(w http.ResponseWriter, rec roll.Record) {
	keep := "drop"
	if mayKeep(rec) {
		keep = "keep"
	}
	w.Header().Set("Offline-Copy", keep)
}

// mayKeep ends with the hike: a roll that is closed, called off or stood down is nobody's
// to carry about.
func mayKeep(rec roll.Record) bool {
	return roll.Open(rec.Hike) == nil && rec.Hike.State != hike.Draft && rec.State().StoodDown.IsZero()
}
