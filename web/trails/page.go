package trails

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/trail"
	"saltbush/web/chart"
	"saltbush/web/kit"
	"saltbush/web/trails/view"
	"saltbush/web/ui"
)

func (s *Handlers) trailsPage(r *http.Request, trails []trail.Trail) view.TrailsPage {
	p := view.TrailsPage{Page: s.Page(r, "Trails", "Trails"), Manage: mayManageTrails(r)}
	for _, t := range trails {
		p.Trails = append(p.Trails, kit.TrailLine(t, p.Units))
	}
	return p
}

func mayManageTrails(r *http.Request) bool {
	return account.May(kit.ViewerOf(r), account.ManageTrails, account.Subject{}) == nil
}

func (s *Handlers) trailPage(r *http.Request, t trail.Trail, a ui.FormState) view.TrailPage {
	p := view.TrailPage{
		Page: s.Page(r, t.Name, "Trails"), Manage: mayManageTrails(r), URL: paths.Trail(t.ID),
		Name: t.Name, Summary: t.Summary, Shape: string(t.Profile.Shape), Surface: string(t.Surface), Zone: t.Zone,
		TrackNotes: t.Profile.Notes, Meeting: t.Meeting, Manager: t.Manager, Permit: t.PermitNumber, Signal: t.Signal,
		ScheduleURL: fmt.Sprintf("/hikes/new?trail=%d", t.ID),
		EditURL:     paths.Trail(t.ID) + "/edit", TrackURL: paths.Trail(t.ID) + "/track.gpx",
	}
	if t.PermitCap > 0 {
		p.PermitCap = fmt.Sprintf("%d, staff counted", t.PermitCap)
		if t.PermitWithoutStaff {
			p.PermitCap = fmt.Sprintf("%d participants, staff not counted", t.PermitCap)
		}
	}
	fillFigures(&p, t)
	fillPoints(&p, t)
	p.ShapeFields = ShapeForm(t.Profile.Shape).Fields(a)
	p.Point = PointForm(p.Units).Fields(a)
	if p.Manage {
		s.trailYear(r, &p, t, a)
	}
	return p
}

// fillFigures adds the figures. Unknown ones stay empty, and the page says so.
func fillFigures(p *view.TrailPage, t trail.Trail) {
	f, u := t.Profile, p.Units
	p.Length = format.Length(f.Length, u)
	p.Map = chart.Map(chart.NewMapDrawing(f, kit.DrawnPoints(t), u))
	if !f.HasElevation {
		return
	}
	rating := kit.RatingOf(t)
	p.Ascent, p.Descent = format.Height(f.Ascent, u), format.Height(f.Descent, u)
	p.Lowest, p.Highest = format.Height(f.Lowest, u), format.Height(f.Highest, u)
	p.Steepest = format.Slope(f.Steepest)
	p.SteepestWhere = "from " + format.Length(f.SteepestFrom, u) + " to " + format.Length(f.SteepestTo, u)
	p.Number, p.Class, p.Raised = strconv.Itoa(rating.Number), string(rating.Class), rating.Raised
	p.Profile = chart.Profile(chart.NewProfileDrawing(f, kit.DrawnPoints(t), u))
}

func fillPoints(p *view.TrailPage, t trail.Trail) {
	for _, pt := range t.Points {
		row := view.TrailPoint{Kind: string(pt.Kind), Name: pt.Name, Along: format.Length(pt.Along, p.Units),
			Note: pt.Note}
		if pt.Kind == trail.Water {
			row.Note = strings.TrimSpace(row.Note + " " + waterSeen(pt))
		}
		if p.Manage {
			row.RemoveURL = fmt.Sprintf("%s/points/%d/remove", p.URL, pt.ID)
		}
		p.Points = append(p.Points, row)
	}
}

// waterSeen says when water was last seen at a point. It never promises any.
func waterSeen(p trail.Point) string {
	if p.WaterSeen.IsZero() {
		return "Nobody has confirmed this water: never rely on it."
	}
	return "Water seen on " + p.WaterSeen.Format("2 January 2006") + ": never rely on it alone."
}

func (s *Handlers) trailFormPage(r *http.Request, of *trail.Trail, a ui.FormState) view.TrailFormPage {
	if of != nil {
		return view.TrailFormPage{
			Page: s.Page(r, "Edit "+of.Name, "Trails"), Edit: true, URL: paths.Trail(of.ID),
			BackURL: paths.Trail(of.ID),
			Fields:  TrailEditForm().Filled(a, *of),
		}
	}
	return view.TrailFormPage{
		Page: s.Page(r, "Add a trail", "Trails"), URL: "/trails", BackURL: "/trails", Fields: TrailForm().Fields(a),
	}
}
