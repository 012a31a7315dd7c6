package public

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/heat"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/supply"
	"saltbush/web/chart"
	"saltbush/web/kit"
	"saltbush/web/public/view"
	"saltbush/web/ui"
)

// ShowNotice shows the public page of a hike.
func (s *Handlers) ShowNotice(w http.ResponseWriter, r *http.Request) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	return s.Render(w, r, http.StatusOK, view.HikeNotice(s.noticePage(r, t)))
}

func (s *Handlers) noticePage(r *http.Request, t hike.Data) view.NoticePage {
	h, u := t.Hike, s.UnitsOf(r)
	p := view.NoticePage{
		Page: s.Page(r, h.Title, "Hikes"), Name: h.Title, Stamp: ui.StampOf(string(h.State)),
		Date: format.Day(h.Start, t.Zone()) + ", meet at " + format.Clock(h.Meet, t.Zone()),
		Lede: format.OrElse(h.Notice, t.Trail.Summary), Numbers: noticeNumbers(t, u),
		Asks: noticeAsks(t, u), Refused: t.Refused(u), Meeting: kit.MeetingLines(t),
		CalendarURL: paths.Hike(t.Hike.ID) + "/hike.ics", Rules: noticeRules(t),
		Map: chart.Map(chart.NewMapDrawing(t.Trail.Profile, kit.DrawnPoints(t.Trail), u)),
	}
	if t.Trail.Profile.HasElevation {
		p.ClassWhy = classWhy(t)
		p.Profile = chart.Profile(chart.NewProfileDrawing(t.Trail.Profile, kit.DrawnPoints(t.Trail), u))
	}
	p.Changed = kit.ChangedNote(t, "Changed", u)
	s.noticeSignUp(&p, t)
	noticePlan(&p, t, u)
	return p
}

// noticeNumbers gives the number behind every word about the trail.
func noticeNumbers(t hike.Data, u format.System) []ui.FigureText {
	p := t.Trail.Profile
	numbers := []ui.FigureText{ui.NewFigure("Distance", format.Length(p.Length, u), string(p.Shape))}
	if p.HasElevation {
		rating := kit.RatingOf(t.Trail)
		numbers = append(numbers,
			ui.NewFigure("Ascent", format.Height(p.Ascent, u), "and "+format.Height(p.Descent, u)+" down"),
			ui.NewFigure("Steepest part", format.Slope(p.Steepest), "over 100 m"),
			ui.FigureText{Label: "Class", Value: string(rating.Class),
				Note: fmt.Sprintf("its number is %d", rating.Number)})
	} else {
		numbers = append(numbers, ui.FigureText{Label: "Ascent", Note: "The track has no heights."})
	}
	return append(numbers,
		ui.FigureText{Label: "Group", Value: strconv.Itoa(t.Hike.Places), Note: fmt.Sprintf("walkers at most, with %s",
			format.Count(len(t.Hike.Staff), "leader", "leaders"))},
		ui.FigureText{Label: "Underfoot", Value: string(t.Trail.Surface)})
}

func classWhy(t hike.Data) string {
	rating := kit.RatingOf(t.Trail)
	why := fmt.Sprintf("The class comes from a published number, here %d: the square root of twice the ascent in "+
		"feet times the distance in miles. It knows nothing of heat or footing; read on.", rating.Number)
	if rating.Raised != "" {
		why += " " + format.SentenceCase(rating.Raised)
	}
	return why
}

func noticeAsks(t hike.Data, u format.System) []string {
	p := t.Trail.Profile
	asks := []string{fmt.Sprintf("A walk of about %s in the last eight weeks, without trouble.",
		format.Length(signup.RecentWalk(p.Length), u))}
	if t.Plan != nil {
		asks = append(asks, fmt.Sprintf("Carrying %s of water: %s at the start.",
			format.Volume(t.Plan.Water.Carry, u), format.Mass(supply.WaterMass(t.Plan.Water.Carry), u)))
	}
	return append(asks,
		fmt.Sprintf("Keeping the pace of the group for the whole way: %s, and never faster than the slowest.",
			t.Hike.Pace),
		"Waiting at every junction, and saying early when you do not feel well.")
}

// noticeRules lists the house's rules as the public is told them.
func noticeRules(t hike.Data) []format.Line {
	var lines []format.Line
	for _, x := range t.Hike.Rules().NoticeRules() {
		lines = append(lines, format.Line{Label: x.About, Value: x.Says, Note: x.Note})
	}
	return lines
}

func (s *Handlers) noticeSignUp(p *view.NoticePage, t hike.Data) {
	switch {
	case t.Hike.State == hike.CalledOff:
		p.Alert = ui.NoteText{Kind: ui.NoteGrave, Title: "This hike does not take place",
			Text: "Called off: " + t.Hike.WhyCalledOff() + " Please do not walk it as a group without a leader."}
	case t.Hike.State == hike.Draft:
		p.Alert = ui.NoteText{Kind: ui.NotePlain, Title: "A draft",
			Text: "Only staff can read this. The public sees it once it is posted."}
	case t.Hike.TakesSignUps(s.Now()):
		p.SignUp = ui.ButtonText{Label: "Ask for a place", URL: paths.Hike(t.Hike.ID) + "/sign-up", Kind: ui.ButtonMain}
		p.SignUpNote = kit.PlacesNote(t)
	}
}

func noticePlan(p *view.NoticePage, t hike.Data, u format.System) {
	if t.Plan == nil {
		p.HeatEmpty = ui.EmptyText{Title: "No heat figures",
			Text: "No forecast has been typed for this day, so time, water and heat are not known yet. No data is " +
				"not green."}
		p.Family = "The time of return is worked out with the plan."
		return
	}
	zone := t.Zone()
	p.OnTrail, p.BackBy = kit.TimeRange(t.Plan), kit.BackRange(t, zone)
	p.Family = kit.Family(t, zone)
	p.Water = kit.WaterFigures(t.Plan, u)
	p.WaterWhy = kit.WaterWhy(t.Plan, u)
	p.Hours = heatHours(t.Plan, t.Clocks, t.Stored.Inputs.Rules().Ladder, zone, u)
	p.HeatNote = heatNote(t.Plan, zone, u)
	p.PlanMade = "Worked out on " + format.Moment(t.Stored.Made, zone) + " from the forecast of that hour, model " +
		t.Plan.Model + ". A new forecast makes a new plan."
}

// heatHours shows the felt temperature of each hour, which is never below that of the air, and
// its rung on the house's heat ladder.
func heatHours(p *plan.Plan, c party.Clocks, ladder heat.Ladder, zone *time.Location, u format.System) []view.HeatHour {
	var hours []view.HeatHour
	for _, h := range p.Heat.Hours {
		felt := heat.Felt(h.Air, h.Humidity.Fraction())
		rung := ladder.Rung(felt)
		word, strokes := string(rung), level(rung)
		if h.WBGT > p.Heat.Limit && rung == heat.Normal { // beyond one limit is not normal
			word, strokes = "over the limit for this work", 1
		}
		hours = append(hours, view.HeatHour{
			Clock: format.Clock(h.At.Time, zone), Felt: format.Temperature(felt, u),
			WBGT: format.Temperature(h.WBGT, u),
			Word: word, Level: strokes, Bar: view.HeatBar(felt), Out: kit.InWalk(c, h), Note: overLimit(p, h),
		})
	}
	return hours
}

func level(r heat.Rung) int {
	return slices.Index([]heat.Rung{heat.Normal, heat.ShorterOrEarlier, heat.ShortOnly, heat.Cancel}, r)
}

func overLimit(p *plan.Plan, h plan.Hour) string {
	if h.WBGT > p.Heat.Limit {
		return "over the limit for this work"
	}
	return ""
}

func heatNote(p *plan.Plan, zone *time.Location, u format.System) ui.NoteText {
	n := ui.NoteText{Title: "At the worst",
		Text: fmt.Sprintf("Air up to %s on the way; wet-bulb globe temperature up to %s at %s; above %s people not "+
			"used to heat need more rest, shade and water at this work.",
			format.Temperature(p.Heat.PeakAir, u), format.Temperature(p.Heat.PeakWBGT, u),
			format.Clock(p.Heat.PeakAt.Time, zone), format.Temperature(p.Heat.Limit, u))}
	if p.Verdict.Decision != plan.Go {
		n.Kind, n.Title = ui.NoteCaution, "The plan says "+string(p.Verdict.Decision)
		n.Points = p.Verdict.Reasons
	}
	return n
}
