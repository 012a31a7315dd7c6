package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/heat"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/web/view"
)

// told is everything that pages about one hike are made of.
type told struct {
	hike    hike.Hike
	trail   hike.Trail
	plan    *plan.Plan // nil where there is none
	stored  hike.StoredPlan
	signUps []hike.SignUp
	now     time.Time
}

// loadData loads what the pages and mails of one hike need.
func loadData(ctx context.Context, store hike.Store, h hike.Hike, now time.Time) (told, error) {
	t := told{hike: h, now: now}
	var err error
	if t.trail, err = store.Trail(ctx, h.Trail); err != nil {
		return t, err
	}
	if t.signUps, err = store.SignUps(ctx, h.ID); err != nil {
		return t, err
	}
	t.stored, err = store.LatestPlan(ctx, h.ID)
	if errors.Is(err, hike.ErrNotFound) {
		return t, nil
	}
	t.plan = &t.stored.Plan
	return t, err
}

// tell loads what the pages of one hike need.
func (s *Kit) tell(ctx context.Context, h hike.Hike) (told, error) {
	return loadData(ctx, s.hikes, h, s.Now())
}

// load loads what the mails of one hike need.
func (s *Notifier) load(ctx context.Context, h hike.Hike) (told, error) {
	return loadData(ctx, s.Hikes, h, s.Now())
}

func (t told) zone() *time.Location { return t.trail.Location() }

func (t told) count(state hike.SignUpState) int {
	n := 0
	for _, s := range t.signUps {
		if s.State == state {
			n++
		}
	}
	return n
}

// kept counts the people asked or offered, each with a place in the drawer.
func (t told) kept() int { return t.taken(t.now) - t.count(hike.Confirmed) }

// taken counts the places that nobody else can have.
func (t told) taken(now time.Time) int {
	n := 0
	for _, s := range t.signUps {
		if s.HoldsPlace(now) {
			n++
		}
	}
	return n
}

func (s *publicHandlers) showNotice(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tell(r.Context(), hikeIn(r))
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, view.HikeNotice(s.noticePage(r, t)))
}

func (s *publicHandlers) noticePage(r *http.Request, t told) view.NoticePage {
	h, u := t.hike, s.unitsOf(r)
	p := view.NoticePage{
		Page: s.page(r, h.Title, "Hikes"), Name: h.Title, Stamp: view.StampOf(string(h.State)),
		Date: format.Day(h.Start, t.zone()) + ", meet at " + format.Clock(h.Meet, t.zone()),
		Lede: format.OrElse(h.Notice, t.trail.Summary), Numbers: t.numbers(u),
		Asks: t.asks(u), Refused: t.refused(u), Meeting: t.meeting(), CalendarURL: hikePath(t.hike.ID) + "/hike.ics", Rules: t.rules(),
		Map: view.Map(view.NewMapDrawing(t.trail.Profile, drawnPoints(t.trail), u)),
	}
	if t.trail.Profile.HasElevation {
		p.ClassWhy = t.classWhy()
		p.Profile = view.Profile(view.NewProfileDrawing(t.trail.Profile, drawnPoints(t.trail), u))
	}
	s.noticeSignUp(&p, t)
	noticePlan(&p, t, u)
	return p
}

// numbers stand beside every word that the notice uses.
func (t told) numbers(u format.System) []view.FigureText {
	p := t.trail.Profile
	numbers := []view.FigureText{figure("Distance", format.Length(p.Length, u), string(p.Shape))}
	if p.HasElevation {
		rating := ratingOf(t.trail)
		numbers = append(numbers,
			figure("Ascent", format.Height(p.Ascent, u), "and "+format.Height(p.Descent, u)+" down"),
			figure("Steepest part", format.Slope(p.Steepest), "over 100 m"),
			view.FigureText{Label: "Class", Value: string(rating.Class), Note: fmt.Sprintf("its number is %d", rating.Number)})
	} else {
		numbers = append(numbers, view.FigureText{Label: "Ascent", Note: "The track has no heights."})
	}
	return append(numbers,
		view.FigureText{Label: "Group", Value: strconv.Itoa(t.hike.Places), Note: fmt.Sprintf("walkers at most, with %s", format.Count(len(t.hike.Staff), "leader", "leaders"))},
		view.FigureText{Label: "Underfoot", Value: string(t.trail.Surface)})
}

// figure splits "7.7 km" into its number and its unit.
func figure(label, text, note string) view.FigureText { return view.NewFigure(label, text, note) }

func (t told) classWhy() string {
	rating := ratingOf(t.trail)
	why := fmt.Sprintf("The class comes from a published number, here %d: the square root of twice the ascent in feet times the distance in miles. It knows nothing of heat or footing; read on.", rating.Number)
	if rating.Raised != "" {
		why += " " + format.SentenceCase(rating.Raised)
	}
	return why
}

func (t told) asks(u format.System) []string {
	p := t.trail.Profile
	asks := []string{fmt.Sprintf("A walk of about %s in the last eight weeks, without trouble.", format.Length(hike.RecentWalk(p.Length), u))}
	if t.plan != nil {
		asks = append(asks, fmt.Sprintf("Carrying %s of water: %s at the start.", format.Volume(t.plan.Water.Carry, u), format.Mass(supply.WaterMass(t.plan.Water.Carry), u)))
	}
	return append(asks,
		fmt.Sprintf("Keeping the pace of the group for the whole way: %s, and never faster than the slowest.", t.hike.Pace),
		"Waiting at every junction, and saying early when you do not feel well.")
}

func (t told) refused(u format.System) []string {
	water := "Too little water: the amount is set with the plan"
	if t.plan != nil {
		water = "Less than " + format.Volume(t.plan.Water.Carry, u) + " of water"
	}
	return append([]string{water}, hike.RefusedFor()...)
}

func (t told) meeting() []format.Line {
	zone := t.zone()
	at := t.trail.Profile.SampleAt(0).At
	lines := []format.Line{
		{Label: "Meet", Value: format.Clock(t.hike.Meet, zone) + ", " + format.Day(t.hike.Meet, zone)},
		{Label: "Leave", Value: format.Clock(t.hike.Start, zone), Note: t.grace()},
		{Label: "Trailhead", Value: format.Position(at), URL: fmt.Sprintf("geo:%.5f,%.5f", at.Lat.Degrees(), at.Lon.Degrees()), Note: t.trail.Meeting},
		{Label: "Phone signal", Value: t.trail.Signal},
	}
	if t.plan != nil {
		lines = append(lines, t.turnLine())
	}
	return lines
}

func (t told) grace() string {
	wait := t.hike.Rules().Grace
	if wait == 0 {
		return "On time: nobody walks alone to catch up."
	}
	return "We wait " + format.Duration(wait) + " for the late, then go. Nobody walks alone to catch up."
}

// turnLine is the time by which a party turns. Only where it comes back the way it went is
// the time for the far point safe everywhere before it; elsewhere each place has its own,
// and what holds for all is when to be off the trail.
func (t told) turnLine() format.Line {
	zone := t.zone()
	if t.trail.Profile.Shape == track.OutAndBack {
		return format.Line{Label: "Turn round", Value: "by " + format.Clock(t.plan.Turnaround.At.Time, zone), Note: "wherever we are then"}
	}
	if off := t.plan.Turnaround.OffTrail.Time; !off.IsZero() {
		return format.Line{Label: "Off the trail", Value: "by " + format.Clock(off, zone), Note: t.plan.Turnaround.OffTrailBecause + "; when to turn back depends on the place, and the leader has the times"}
	}
	margin := t.stored.Inputs.Rules().DaylightMargin
	return format.Line{Label: "Off the trail", Value: "by " + format.Clock(t.plan.Sun.Sunset.Add(-margin), zone), Note: format.Duration(margin) + " before sunset; when to turn back depends on the place, and the leader has the times"}
}

// rules are the house's, as the public is told them.
func (t told) rules() []format.Line {
	var lines []format.Line
	for _, x := range t.hike.Rules().NoticeRules() {
		lines = append(lines, format.Line{Label: x.About, Value: x.Says, Note: x.Note})
	}
	return lines
}

func (s *publicHandlers) noticeSignUp(p *view.NoticePage, t told) {
	switch {
	case t.hike.State == hike.CalledOff:
		p.Alert = view.NoteText{Kind: view.NoteGrave, Title: "This hike does not take place", Text: "Called off: " + t.hike.WhyCalledOff() + " Please do not walk it as a group without a leader."}
	case t.hike.State == hike.Draft:
		p.Alert = view.NoteText{Kind: view.NotePlain, Title: "A draft", Text: "Only staff can read this. The public sees it once it is posted."}
	case t.hike.TakesSignUps(s.Now()):
		p.SignUp = view.ButtonText{Label: "Ask for a place", URL: hikePath(t.hike.ID) + "/sign-up", Kind: view.ButtonMain}
		p.SignUpNote = t.placesNote()
	}
}

func (t told) placesNote() string {
	free := t.hike.Places - t.count(hike.Confirmed) - t.kept()
	if waiting := t.count(hike.Waiting); free <= 0 || waiting > 0 {
		return fmt.Sprintf("All %d places are taken; %s before you.", t.hike.Places, format.Count(waiting, "person waits", "people wait"))
	}
	return fmt.Sprintf("%d of %d places left.", free, t.hike.Places)
}

func noticePlan(p *view.NoticePage, t told, u format.System) {
	if t.plan == nil {
		p.HeatEmpty = view.EmptyText{Title: "No heat figures", Text: "No forecast has been typed for this day, so time, water and heat are not known yet. No data is not green."}
		p.Family = "The time of return is worked out with the plan."
		return
	}
	zone := t.zone()
	p.OnTrail, p.BackBy = timeRange(t.plan), backRange(t, zone)
	p.Family = family(t, zone)
	p.Water = waterFigures(t.plan, u)
	p.WaterWhy = waterWhy(t.plan, u)
	p.Hours = heatHours(t.plan, t.stored.Inputs.Rules().Ladder, zone, u)
	p.HeatNote = heatNote(t.plan, zone, u)
	p.PlanMade = "Worked out on " + format.Moment(t.stored.Made, zone) + " from the forecast of that hour, model " + t.plan.Model + ". A new forecast makes a new plan."
}

func timeRange(p *plan.Plan) view.RangeText {
	r := view.NewDurationRange("On the trail", p.Time.P50.Duration(), p.Time.P90.Duration())
	r.FromNote, r.ToNote = "half of such parties need no longer", "nine in ten need no longer"
	return r
}

func backRange(t told, zone *time.Location) view.RangeText {
	limit, words := t.plan.Heat.OffBy.Time, "heat limit"
	if sunset := t.plan.Sun.Sunset.Time; limit.IsZero() && !sunset.IsZero() && sunset.Sub(t.hike.Start) < 12*time.Hour {
		limit, words = sunset, "sunset"
	}
	if !limit.IsZero() {
		words += " " + format.Clock(limit, zone)
	}
	label := "Back at the trailhead"
	if t.trail.Profile.Shape == track.OneWay {
		label = "Off the trail, at its far end"
	}
	return view.NewClockRange(label, t.hike.Start, t.plan.Return.Expected.Time, t.plan.Return.Watch.Time, limit, words, zone)
}

func family(t told, zone *time.Location) string {
	text := fmt.Sprintf("Tell somebody at home: back between %s and %s.", format.Clock(t.plan.Return.Expected.Time, zone), format.Clock(t.plan.Return.Watch.Time, zone))
	if t.hike.OnCall.Name == "" {
		return text + " Who is on call is not named yet."
	}
	return text + " A person is on call for this hike and acts by the clock; their number is in your confirmation."
}

func waterFigures(p *plan.Plan, u format.System) []view.FigureText {
	bring := figure("Bring each", format.Volume(p.Water.Carry, u), supply.Bottles(p.Water.Carry))
	bring.Big = true
	return []view.FigureText{
		bring,
		figure("Before the start", format.Volume(p.Water.BeforeStart, u), "at breakfast and on the road, beyond what you bring"),
		figure("Drink", format.Flow(p.Water.Drink, u), "in small drinks; never more than "+format.Flow(supply.MaxDrinking, u)),
	}
}

func waterWhy(p *plan.Plan, u format.System) string {
	return fmt.Sprintf("%s for %s, the time that nine groups in ten stay under, rounded up to half litres. The group carries a reserve for trouble; it is never used to start with. Eat something salty each time you drink.",
		format.Flow(p.Water.Drink, u), format.Duration(p.Time.P90.Duration()))
}

// heatHours shows what the hours of the day feel like, never cooler than the air, and
// which rung of the house ladder that is.
func heatHours(p *plan.Plan, ladder heat.Ladder, zone *time.Location, u format.System) []view.HeatHour {
	var hours []view.HeatHour
	for _, h := range p.Heat.Hours {
		felt := heat.Felt(h.Air, h.Humidity.Fraction())
		rung := ladder.Rung(felt)
		word, strokes := string(rung), level(rung)
		if h.WBGT > p.Heat.Limit && rung == heat.Normal { // one limit passed is not normal
			word, strokes = "over the limit for this work", 1
		}
		hours = append(hours, view.HeatHour{
			Clock: format.Clock(h.At.Time, zone), Felt: format.Temperature(felt, u), WBGT: format.Temperature(h.WBGT, u),
			Word: word, Level: strokes, Bar: view.HeatBar(felt), Out: inWalk(p, h), Note: overLimit(p, h),
		})
	}
	return hours
}

func level(r heat.Rung) int {
	return slices.Index([]heat.Rung{heat.Normal, heat.ShorterOrEarlier, heat.ShortOnly, heat.Cancel}, r)
}

func inWalk(p *plan.Plan, h plan.Hour) bool {
	start := p.Return.Watch.Add(-p.Time.P90.Duration())
	return h.At.Add(time.Hour).After(start) && h.At.Before(p.Return.Watch.Time)
}

func overLimit(p *plan.Plan, h plan.Hour) string {
	if h.WBGT > p.Heat.Limit {
		return "over the limit for this work"
	}
	return ""
}

func heatNote(p *plan.Plan, zone *time.Location, u format.System) view.NoteText {
	n := view.NoteText{Title: "At the worst", Text: fmt.Sprintf("Air up to %s on the way; wet-bulb globe temperature up to %s at %s; above %s people not used to heat need more rest, shade and water at this work.",
		format.Temperature(p.Heat.PeakAir, u), format.Temperature(p.Heat.PeakWBGT, u), format.Clock(p.Heat.PeakAt.Time, zone), format.Temperature(p.Heat.Limit, u))}
	if p.Verdict.Decision != plan.Go {
		n.Kind, n.Title = view.NoteCaution, "The plan says "+string(p.Verdict.Decision)
		n.Points = p.Verdict.Reasons
	}
	return n
}
