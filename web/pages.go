package web

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/hike"
	"saltbush/web/view"
)

// showPages lists every component and page state from fixed data.
func (s *Server) showPages(w http.ResponseWriter, r *http.Request) error {
	return s.Render(w, r, http.StatusOK, view.PagesIndex(view.PagesIndexPage{Page: s.Page(r, "Page states", ""), Pages: view.StatePages()}))
}

func (s *Server) showStatePage(w http.ResponseWriter, r *http.Request) error {
	for _, p := range view.StatePages() {
		if p.Name == chi.URLParam(r, "name") {
			return s.Render(w, r, http.StatusOK, p.Component)
		}
	}
	return hike.ErrNotFound
}
