package kit

import (
	"bytes"
	"net/http"

	"github.com/a-h/templ"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// Page returns the frame of a page. Tab is the label of the index tab that the page belongs to.
func (s *Kit) Page(r *http.Request, title, tab string) ui.Page {
	viewer := viewOf(ViewerOf(r))
	p := ui.Page{
		Title:  title,
		Viewer: viewer,
		Nav:    ui.Nav(viewer, tab),
		Flash:  s.popFlash(r),
		Units:  s.UnitsOf(r),
		Path:   r.URL.Path,
	}
	if house, err := s.hikes.House(r.Context()); err == nil {
		p.Emergency = house.Emergency
	} else {
		s.Log.Error("load house", "err", err)
	}
	_, p.Private = dayLinkIn(r)
	if s.Demo {
		p.Demo = "A demonstration: the reserve, the people and the hikes are invented. No mail leaves this program."
	}
	return p
}

func viewOf(v account.Viewer) ui.Viewer {
	a, ok := v.Account()
	if !ok {
		return ui.Viewer{}
	}
	out := ui.Viewer{Name: a.Name, SignedIn: true}
	for _, role := range a.Roles {
		out.Roles = append(out.Roles, ui.Role(role))
	}
	return out
}

// Render writes a page. Where the template fails it writes nothing, so that the error can be shown.
func (s *Kit) Render(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	var b bytes.Buffer
	if err := c.Render(r.Context(), &b); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, err := b.WriteTo(w)
	return err
}

// SeeOther redirects the browser after something was done, with a sentence to show there.
func (s *Kit) SeeOther(w http.ResponseWriter, r *http.Request, to, said string) error {
	if said != "" {
		s.Sessions.Put(r.Context(), "flash", said)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// popFlash returns the sentence that the last action left, and forgets it.
func (s *Kit) popFlash(r *http.Request) ui.Flash {
	return ui.Flash{Text: s.Sessions.PopString(r.Context(), "flash")}
}

// unitsCookie keeps the choice of visitors without an account.
const unitsCookie = "units"

// UnitsOf returns the units that the viewer chose, metric by default.
func (s *Kit) UnitsOf(r *http.Request) format.System {
	if c, err := r.Cookie(unitsCookie); err == nil {
		return systemOf(c.Value)
	}
	if a, ok := ViewerOf(r).Account(); ok {
		return systemOf(string(a.Units))
	}
	return format.Metric
}

func systemOf(name string) format.System {
	if name == string(format.US) {
		return format.US
	}
	return format.Metric
}

// ChooseUnits keeps the viewer's choice of units and goes back to the page.
func (s *Kit) ChooseUnits(w http.ResponseWriter, r *http.Request) error {
	http.SetCookie(w, &http.Cookie{
		Name: unitsCookie, Value: string(systemOf(r.PostFormValue("units"))), Path: "/",
		MaxAge: 365 * 24 * 3600, HttpOnly: true, Secure: s.Secure, SameSite: http.SameSiteLaxMode,
	})
	http.Redirect(w, r, OwnPath(r.PostFormValue("back")), http.StatusSeeOther)
	return nil
}
