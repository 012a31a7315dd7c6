package watch

import (
	"net/http"

	"github.com/a-h/templ"

	"saltbush/internal/watch"
	"saltbush/web/watch/view"
)

// ShowWall shows the rows of the board for a screen on a wall.
func (s *Handlers) ShowWall(w http.ResponseWriter, r *http.Request) error {
	d, err := s.boardNow(r.Context())
	if err != nil {
		return err
	}
	p := view.WallPage{Page: s.Page(r, "Wall display", "Board"), Live: s.boardLine(r.Context(), d),
		Drawn: templ.Raw(d.whole()), BoardURL: "/board"}
	return s.Render(w, r, http.StatusOK, view.Wall(p))
}

// gravity is 0 for a phase in which nobody has to act, and grows with how grave an alarm is.
func gravity(phase watch.Phase) int {
	if !phase.Alarm() {
		return 0
	}
	return phase.Urgency()
}
