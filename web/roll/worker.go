package roll

import (
	"net/http"

	"saltbush/assets"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// workerScope limits the service worker of the roll: it never sees a page outside of it.
const workerScope = "/hikes/"

// ServeWorker serves the service worker under an address that never changes and is not
// cached, so that a phone never keeps an old one.
func ServeWorker(w http.ResponseWriter, r *http.Request) {
	script := r.Clone(r.Context())
	script.URL.Path = assets.Prefix + "roll-worker.js"
	w.Header().Set("Service-Worker-Allowed", workerScope)
	assets.Handler().ServeHTTP(w, script)
}

// OfflineCopy sets the header that tells the worker whether to keep a copy of the roll. Only
// responses with this header are cached, and "drop" deletes the copy.
func OfflineCopy(w http.ResponseWriter, rec roll.Record) {
	action := "drop"
	if mayKeep(rec) {
		action = "keep"
	}
	w.Header().Set("Offline-Copy", action)
}

// mayKeep reports whether a phone may keep a copy. It may not once the hike is closed, called
// off or stood down.
func mayKeep(rec roll.Record) bool {
	return roll.Open(rec.Hike) == nil && rec.Hike.State != hike.Draft && rec.State().StoodDown.IsZero()
}
