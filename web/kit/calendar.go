package kit

import (
	"net/http"

	"saltbush/internal/calendar"
)

// SendCalendar answers with a calendar file.
func SendCalendar(w http.ResponseWriter, c calendar.Calendar) error {
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8; method="+string(c.Method))
	w.Header().Set("Cache-Control", "private, no-cache")
	_, err := w.Write(c.Bytes())
	return err
}
