package storybook

import (
	"net/http"

	"github.com/a-h/templ"

	"saltbush/assets"
)

// Path is the address of the list. Each page is below it, by its name.
const Path = "/_pages"

// Handler serves the list of state pages, each page, and the site's assets. It needs no database.
func Handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET "+assets.Prefix, assets.Handler())
	pages := StatePages()
	index := PagesIndex(PagesIndexPage{Page: samplePage("Page states", ""), Pages: pages})
	mux.Handle("GET "+Path, templ.Handler(index))
	for _, p := range pages {
		mux.Handle("GET "+Path+"/"+p.Name, templ.Handler(p.Component))
	}
	return mux
}
