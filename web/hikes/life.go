package hikes

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"saltbush/internal/party"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// addGroundAndDecision adds what is known of the trail, the ways in which the hike can go, and who
// knows of the decision.
func (s *Handlers) addGroundAndDecision(p *view.HikePage, r *http.Request, t hike.Data, a ui.FormState) error {
	h := t.Hike
	ground, err := s.Ground.Ground(r.Context(), h.Trail)
	if err != nil {
		return err
	}
	if h.State == hike.Draft || h.State == hike.Posted {
		p.TrailNote = groundNote(ground, h)
	}
	if h.State == hike.Posted && s.Now().Before(h.Start) {
		if p.Decision.Options, err = s.decisionOptions(r, t, a); err != nil {
			return err
		}
	}
	p.Decision.Told, err = s.announcementText(r, h, t.Zone())
	return err
}

// decisionOptions offers the more cautious ways to go, with trails of the same or an easier class
// first.
func (s *Handlers) decisionOptions(r *http.Request, t hike.Data, a ui.FormState) ([]view.DecisionOption, error) {
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return nil, err
	}
	roads, err := s.Staff.Roads(r.Context())
	if err != nil {
		return nil, err
	}
	var options []ui.Option
	for _, x := range staffing.Alternatives(t.Trail, trails, roads) {
		options = append(options, ui.Option{Value: numberOf(x.Trail.ID), Label: alternative(x, s.UnitsOf(r))})
	}
	c := view.DecisionChoices{Trails: options, TurnUnit: "km",
		Earlier: format.Clock(t.Hike.Start.Add(-time.Hour), t.Zone()),
		Later:   format.Clock(t.Hike.Start.Add(time.Hour), t.Zone())}
	u := s.UnitsOf(r)
	if u == format.US {
		c.TurnUnit = "mi"
	}
	for _, p := range hike.Turns(t.Trail) {
		c.Turns = append(c.Turns, p.Name+", "+format.Length(p.Along, u))
	}
	if t.Plan != nil && t.Plan.Short != nil {
		if c.Turn = t.Plan.Short.Name; c.Turn == "" {
			c.TurnDistance = fmt.Sprintf("%.2f", inUnit(t.Plan.Short.Turn, c.TurnUnit))
		}
	}
	return view.NewDecisionOptions(kit.FormAnswers(r, "decide", a), c), nil
}

func inUnit(l unit.Length, name string) float64 {
	if name == "mi" {
		return l.Miles()
	}
	return l.Kilometres()
}

func alternative(x staffing.Alternative, u format.System) string {
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

// decisionBasis says what a decision was based on.
func decisionBasis(d hike.Decision) string {
	words := "Taken without a plan."
	if d.Plan != 0 {
		words = fmt.Sprintf("Taken on plan %d, which says %s.", d.Plan, d.Verdict)
	}
	if d.Official != "" {
		words += " Official: " + d.Official + "."
	}
	return words
}

// noteNoShows records who had a place and did not come, after the roll is closed. Nobody is told or
// blamed: it helps to estimate how many will come.
func (s *Handlers) noteNoShows(ctx context.Context, rec roll.Record) error {
	for _, p := range rec.State().People {
		if p.Where != party.WhereAbsent || p.Staff || p.WalkUp {
			continue
		}
		_, err := s.Hikes.ChangeSignUp(ctx, string(p.ID), s.Now(),
			func(x *signup.SignUp) error {
				x.NoShow = true
				return nil
			})
		if err != nil && !errors.Is(err, fault.ErrNotFound) {
			return err
		}
	}
	return nil
}

// groundNote says what is closed and when the trail was last walked.
func groundNote(g trail.Ground, h hike.Hike) ui.NoteText {
	day := unit.DateOf(h.Start)
	state, says := kit.Scouted(g, day, h.Rules())
	n := ui.NoteText{Kind: ui.NoteUnknown, Title: strings.TrimSuffix(format.SentenceCase(state.Word), "."),
		Points: []string{says}}
	if state.Word == string(trail.ScoutedFresh) {
		n.Kind, n.Title = ui.NotePlain, "Scouted"
	}
	for _, c := range g.ClosedOn(day) {
		n.Points = append(n.Points, fmt.Sprintf("Closure: %s (%s).", strings.TrimSuffix(c.Why, "."), c.Source))
		n.Kind = ui.NoteCaution
	}
	if g.Closed(day) != "" {
		n.Kind, n.Title = ui.NoteGrave, "The trail is closed that day"
	}
	return n
}
