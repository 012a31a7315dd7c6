package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/internal/walk"
	"saltbush/web/view"
)

func (s *trailsHandlers) trailsPage(r *http.Request, trails []hike.Trail) view.TrailsPage {
	p := view.TrailsPage{Page: s.page(r, "Trails", "Trails"), Manage: mayManageTrails(r)}
	for _, t := range trails {
		p.Trails = append(p.Trails, trailLine(t, p.Units))
	}
	return p
}

func mayManageTrails(r *http.Request) bool {
	return account.May(viewerOf(r), account.ManageTrails, account.Subject{}) == nil
}

func trailLine(t hike.Trail, u format.System) view.TrailLine {
	line := view.TrailLine{
		Name: t.Name, URL: trailPath(t.ID), Summary: t.Summary,
		Length: format.Length(t.Profile.Length, u), Shape: string(t.Profile.Shape),
	}
	if t.Profile.HasElevation {
		rating := ratingOf(t)
		line.Ascent, line.Highest, line.Lowest = format.Height(t.Profile.Ascent, u), format.Height(t.Profile.Highest, u), format.Height(t.Profile.Lowest, u)
		line.Class, line.Number = string(rating.Class), strconv.Itoa(rating.Number)
	}
	return line
}

func ratingOf(t hike.Trail) track.Rating {
	return track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest)
}

func (s *trailsHandlers) trailPage(r *http.Request, t hike.Trail, a view.Answers) view.TrailPage {
	p := view.TrailPage{
		Page: s.page(r, t.Name, "Trails"), Manage: mayManageTrails(r), URL: trailPath(t.ID),
		Name: t.Name, Summary: t.Summary, Shape: string(t.Profile.Shape), Surface: string(t.Surface), Zone: t.Zone,
		TrackNotes: t.Profile.Notes, Meeting: t.Meeting, Manager: t.Manager, Permit: t.PermitNumber, Signal: t.Signal,
		ScheduleURL: fmt.Sprintf("/hikes/new?trail=%d", t.ID),
		EditURL:     trailPath(t.ID) + "/edit", TrackURL: trailPath(t.ID) + "/track.gpx",
	}
	if t.PermitCap > 0 {
		p.PermitCap = fmt.Sprintf("%d, staff counted", t.PermitCap)
		if t.PermitWithoutStaff {
			p.PermitCap = fmt.Sprintf("%d participants, staff not counted", t.PermitCap)
		}
	}
	fillFigures(&p, t)
	fillPoints(&p, t)
	p.ShapeField = view.NewShapeField(a, string(t.Profile.Shape))
	p.Point = view.NewTrailPointFields(a, pointKinds(), p.Units)
	if p.Manage {
		s.trailYear(r, &p, t, a)
	}
	return p
}

// fillFigures leaves what is not known empty; the page then says so in words.
func fillFigures(p *view.TrailPage, t hike.Trail) {
	f, u := t.Profile, p.Units
	p.Length = format.Length(f.Length, u)
	p.Map = view.Map(view.NewMapDrawing(f, drawnPoints(t), u))
	if !f.HasElevation {
		return
	}
	rating := ratingOf(t)
	p.Ascent, p.Descent = format.Height(f.Ascent, u), format.Height(f.Descent, u)
	p.Lowest, p.Highest = format.Height(f.Lowest, u), format.Height(f.Highest, u)
	p.Steepest = format.Slope(f.Steepest)
	p.SteepestWhere = "from " + format.Length(f.SteepestFrom, u) + " to " + format.Length(f.SteepestTo, u)
	p.Number, p.Class, p.Raised = strconv.Itoa(rating.Number), string(rating.Class), rating.Raised
	p.Profile = view.Profile(view.NewProfileDrawing(f, drawnPoints(t), u))
}

func fillPoints(p *view.TrailPage, t hike.Trail) {
	for _, pt := range t.Points {
		row := view.TrailPoint{Kind: string(pt.Kind), Name: pt.Name, Along: format.Length(pt.Along, p.Units), Note: pt.Note}
		if pt.Kind == hike.Water {
			row.Note = strings.TrimSpace(row.Note + " " + waterSeen(pt))
		}
		if p.Manage {
			row.RemoveURL = fmt.Sprintf("%s/points/%d/remove", p.URL, pt.ID)
		}
		p.Points = append(p.Points, row)
	}
}

// waterSeen says what is known of water at a point: never more than that it was seen.
func waterSeen(p hike.Point) string {
	if p.WaterSeen.IsZero() {
		return "Nobody has confirmed this water: never rely on it."
	}
	return "Water seen on " + p.WaterSeen.Format("2 January 2006") + ": never rely on it alone."
}

func drawnPoints(t hike.Trail) []view.DrawnPoint {
	points := make([]view.DrawnPoint, len(t.Points))
	for i, p := range t.Points {
		points[i] = view.DrawnPoint{Kind: string(p.Kind), Name: p.Name, Along: p.Along}
	}
	return points
}

func pointKinds() []view.Option {
	var kinds []view.Option
	for _, k := range hike.PointKinds() {
		kinds = append(kinds, view.Option{Value: string(k), Label: string(k)})
	}
	return kinds
}

func (s *trailsHandlers) trailFormPage(r *http.Request, of *hike.Trail, a view.Answers) view.TrailFormPage {
	p := view.TrailFormPage{Page: s.page(r, "Add a trail", "Trails"), URL: "/trails", BackURL: "/trails"}
	if of != nil {
		p.Page = s.page(r, "Edit "+of.Name, "Trails")
		p.Edit, p.URL, p.BackURL = true, trailPath(of.ID), trailPath(of.ID)
	}
	var surfaces []view.Option
	for _, x := range walk.Surfaces() {
		surfaces = append(surfaces, view.Option{Value: string(x), Label: string(x)})
	}
	p.Fields = view.NewTrailFields(a, surfaces)
	return p
}
