package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/web/view"
)

// hikeLife fills what stands between posting and the day: the ground, the other ways to
// go, and who knows of the decision.
func (s *hikesHandlers) hikeLife(p *view.HikePage, r *http.Request, t told, a view.Answers) error {
	h := t.hike
	ground, err := s.Ground.Ground(r.Context(), h.Trail)
	if err != nil {
		return err
	}
	if h.State == hike.Draft || h.State == hike.Posted {
		p.Lies = groundNote(ground, h)
	}
	if h.State == hike.Posted && s.Now().Before(h.Start) {
		if p.Decision.Ways, err = s.ways(r, t, a); err != nil {
			return err
		}
	}
	p.Decision.Told, err = s.toldText(r, h, t.zone())
	return err
}

// groundNote says what is closed and when the way was last walked.
func groundNote(g hike.Ground, h hike.Hike) view.NoteText {
	day := hike.DateOf(h.Start)
	state, says := scouted(g, day, h.Rules())
	n := view.NoteText{Kind: view.NoteUnknown, Title: strings.TrimSuffix(format.SentenceCase(state.Word), "."), Points: []string{says}}
	if state.Word == string(hike.ScoutedFresh) {
		n.Kind, n.Title = view.NotePlain, "Scouted"
	}
	for _, c := range g.ClosedOn(day) {
		n.Points = append(n.Points, fmt.Sprintf("Closure: %s (%s).", strings.TrimSuffix(c.Why, "."), c.Source))
		n.Kind = view.NoteCaution
	}
	if g.Closed(day) != "" {
		n.Kind, n.Title = view.NoteGrave, "The trail is closed that day"
	}
	return n
}

// ways offers the more cautious ways to go, trails of the same or an easier class first.
func (s *hikesHandlers) ways(r *http.Request, t told, a view.Answers) ([]view.DecisionWay, error) {
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return nil, err
	}
	roads, err := s.Staff.Roads(r.Context())
	if err != nil {
		return nil, err
	}
	var options []view.Option
	for _, x := range hike.Alternatives(t.trail, trails, roads) {
		options = append(options, view.Option{Value: numberOf(x.Trail.ID), Label: alternative(x, s.unitsOf(r))})
	}
	return view.NewDecisionWays(formAnswers(r, "decide", a), format.Clock(t.hike.Start.Add(-time.Hour), t.zone()), options), nil
}

func alternative(x hike.Alternative, u format.System) string {
	words := x.Trail.Name + ", " + format.Length(x.Trail.Profile.Length, u)
	if x.Drive.Known {
		words += ", " + format.Duration(x.Drive.Takes) + " by road"
	}
	switch {
	case !x.Trail.Profile.HasElevation:
		return words + ": class not known, each must agree"
	case x.Harder:
		return words + ": " + string(x.Trail.Rating().Class) + ", harder, each must agree"
	}
	return words + ": " + string(x.Trail.Rating().Class)
}

// decidedOn says on what figures a decision was taken.
func decidedOn(d hike.Decision) string {
	words := "Taken without a plan."
	if d.Plan != 0 {
		words = fmt.Sprintf("Taken on plan %d, which says %s.", d.Plan, d.Verdict)
	}
	if d.Official != "" {
		words += " Official: " + d.Official + "."
	}
	return words
}
