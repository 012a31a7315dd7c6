package web

import (
	"fmt"
	"maps"
	"net/http"
	"strconv"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/view"
)

// renderHike shows the management of a hike; the answers belong to the form that came
// back, told by its address.
func (s *hikesHandlers) renderHike(w http.ResponseWriter, r *http.Request, status int, h hike.Hike, a view.Answers) error {
	t, err := s.tell(r.Context(), h)
	if err != nil {
		return err
	}
	p := s.hikePage(r, t, a)
	if err := s.hikeLife(&p, r, t, a); err != nil {
		return err
	}
	if p.DayLinks, err = s.dayLinks(r, h, formAnswers(r, "day-links", a)); err != nil {
		return err
	}
	return s.render(w, r, status, view.Hike(p))
}

// formAnswers gives a form its answers back if it was the one that was sent.
func formAnswers(r *http.Request, form string, a view.Answers) view.Answers {
	if r.URL.Path == hikePath(hikeIn(r).ID)+"/"+form {
		return a
	}
	return view.Answers{}
}

func (s *hikesHandlers) hikePage(r *http.Request, t told, a view.Answers) view.HikePage {
	h, zone := t.hike, t.zone()
	open := h.State == hike.Draft || h.State == hike.Posted
	p := view.HikePage{
		Page: s.page(r, h.Title, "Desk"), URL: hikePath(h.ID), Name: h.Title, State: view.StampOf(string(h.State)),
		When:  format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone) + ", walk from " + format.Clock(h.Start, zone),
		Trail: t.trail.Name, TrailURL: trailPath(t.trail.ID), NoticeURL: hikePath(h.ID), RollURL: hikePath(h.ID) + "/roll",
		ForecastOpen: open, Places: placesWords(h, t.count(hike.Confirmed), t.count(hike.Waiting)),
		OnCall: view.HikeContact(h.OnCall), Deputy: view.HikeContact(h.Deputy),
		StaffNote: fmt.Sprintf("%d for %s; the house asks for at least %d.", len(h.Staff), format.Count(h.Places, "place", "places"), h.StaffNeeded()),
	}
	if open {
		p.EditURL = hikePath(h.ID) + "/edit"
	}
	if h.State == hike.Out || h.State == hike.Back {
		p.Papers = []view.NavLink{{Label: "Watch", URL: hikePath(h.ID) + "/watch"}, {Label: "Hand-over sheet", URL: hikePath(h.ID) + "/hand-over"}}
	}
	p.Papers = append(p.Papers, view.NavLink{Label: "Trip sheet", URL: tripSheetPath(h.ID)})
	p.Papers = append(p.Papers, view.NavLink{Label: "For the land manager", URL: landPath(h.ID)})
	if s.staffSight(r, h).Sees(hike.KindScreening) {
		p.Papers = append(p.Papers, view.NavLink{Label: talksLabel(t), URL: screeningPath(h.ID)})
	}
	if h.State != hike.CalledOff && h.State != hike.Closed {
		p.Papers = append(p.Papers, view.NavLink{Label: "Cars", URL: carsPath(h.ID)})
	}
	p.Forecast = s.forecastFields(r, h, formAnswers(r, "forecast", a), p.Units)
	for _, m := range h.Staff {
		p.Staff = append(p.Staff, view.HikeStaff{Role: string(m.Role), Name: m.Name, Phone: m.Phone, Answer: string(m.Answer)})
	}
	s.hikeDecision(&p, r, t, a)
	p.Post = postText(h)
	p.OnCallAnswer = string(h.OnCallAnswer())
	s.staffOnPage(r, &p, h)
	p.Close = closeText(h, formAnswers(r, "close", a))
	s.signUpsOnPage(r, &p, t, a)
	s.hikePlan(&p, t)
	return p
}

// talksLabel says how many talks are still to be had.
func talksLabel(t told) string {
	n := 0
	for _, x := range t.signUps {
		if x.State == hike.Asked {
			n++
		}
	}
	if n == 0 {
		return "Talks first"
	}
	return fmt.Sprintf("Talks first (%d open)", n)
}

func postText(h hike.Hike) view.PostText {
	if h.State != hike.Draft {
		return view.PostText{}
	}
	if err := h.Post(); err != nil { // h is a copy: asking changes nothing
		return view.PostText{Refused: err.Error()}
	}
	return view.PostText{Can: true}
}

func closeText(h hike.Hike, a view.Answers) view.CloseText {
	c := view.CloseText{Can: h.State == hike.Out || h.State == hike.Back}
	if why := a.Wrong["close"]; why != "" {
		c.Missing = []string{why}
	}
	return c
}

func (s *hikesHandlers) hikeDecision(p *view.HikePage, r *http.Request, t told, a view.Answers) {
	h, zone := t.hike, t.zone()
	verdict := plan.Decision("")
	if t.plan != nil {
		verdict = t.plan.Verdict.Decision
	}
	d := view.DecisionText{
		By: format.Moment(h.DecideBy(), zone), Until: away(h.DecideBy(), s.Now()), Late: h.AwaitsDecision() && s.Now().After(h.DecideBy()),
		Open: h.AwaitsDecision(), CanCallOff: h.State == hike.Draft || h.State == hike.Posted, CalledOff: h.CalledOffBecause,
		GoReason:      view.NewGoReason(formAnswers(r, "decide", a), verdict != plan.Go),
		CallOffReason: view.NewCallOffReason(formAnswers(r, "call-off", a)),
	}
	switch {
	case t.plan == nil:
		d.ReasonNeeded = "There is no plan. To go without one needs a written reason."
	case verdict != plan.Go:
		d.ReasonNeeded = "The plan says " + string(verdict) + ". To go all the same needs a written reason."
	}
	if h.Decision.Made() {
		d.Made = h.Decision.Says() + " Decided by " + h.Decision.By + " on " + format.Moment(h.Decision.At, zone) + "."
		d.On = decidedOn(h.Decision)
		d.MadeReason = h.Decision.Reason
	}
	if h.State == hike.CalledOff {
		d.Made = "" // the reason of calling off says it
	}
	p.Decision = d
}

// signUpsOnPage lists the sign-ups, as far as the viewer may see them.
func (s *hikesHandlers) signUpsOnPage(r *http.Request, p *view.HikePage, t told, a view.Answers) {
	sight := s.staffSight(r, t.hike)
	if s.may(r, account.SaveSignUps) {
		p.SaveURL = hikePath(t.hike.ID) + "/sign-ups.csv"
	}
	if sight.Sees(hike.KindScreening) && t.hike.TakesSignUps(s.Now()) {
		p.BringURL = sheetPath(t.hike.ID)
	}
	p.HidesTold, p.HidesReach = !sight.Sees(hike.KindScreening), !sight.Sees(hike.KindContact)
	switch {
	case len(t.signUps) == 0:
		return
	case !sight.Sees(hike.KindName):
		p.SignUpsClosed = opensWords("Sweep and assistants read the names", t.hike)
		return
	case p.HidesReach:
		p.SignUpsClosed = opensWords("Numbers, addresses and whom to ring in need open", t.hike)
	}
	p.SignUps = hikeSignUps(r, t, p.Units, a, sight)
}

func hikeSignUps(r *http.Request, t told, u format.System, a view.Answers, sight hike.Sight) []view.HikeSignUp {
	var rows []view.HikeSignUp
	for i, x := range t.signUps {
		row := view.HikeSignUp{
			Order: strconv.Itoa(i + 1), Name: x.Name, State: view.StampOf(string(x.State)), Minor: x.Minor, BroughtBy: x.BroughtBy, Water: format.Volume(x.Water, u),
		}
		if sight.Sees(hike.KindScreening) {
			row.LongestWalk, row.HotDays = x.WalkWords(u != format.US), format.Count(x.HotDays, "day", "days")+" of the last 14 active in the heat"
		}
		if sight.Sees(hike.KindContact) {
			row.Guardian, row.Mobile, row.Email = x.Guardian, x.Mobile, x.Email
			row.Contact = view.HikeContact{Name: x.EmergencyName, Phone: x.EmergencyPhone}
		}
		if x.NoShow {
			row.State = row.State.WithNote("did not come")
		}
		if x.State != hike.Withdrawn && x.State != hike.TurnedAway {
			row.TurnAwayURL = fmt.Sprintf("%s/sign-ups/%s/turn-away", hikePath(t.hike.ID), x.ID)
			row.Reason = view.NewTurnAwayReason(formAnswers(r, "sign-ups/"+x.ID+"/turn-away", a), x.ID)
		}
		rows = append(rows, row)
	}
	return rows
}

// forecastFields asks for a forecast, beginning with the one on file.
func (s *hikesHandlers) forecastFields(r *http.Request, h hike.Hike, a view.Answers, u format.System) view.ForecastFields {
	if a.Typed == nil && h.Forecast != nil {
		a.Typed = forecastValues(*h.Forecast, u)
	}
	return view.NewForecastFields(a, u)
}

func forecastValues(f plan.Forecast, u format.System) map[string][]string {
	degrees, scale, wind, windUnit := unit.Temperature.Celsius, "C", f.Wind.KilometresPerHour(), "km/h"
	if u == format.US {
		degrees, scale, wind, windUnit = unit.Temperature.Fahrenheit, "F", f.Wind.MilesPerHour(), "mph"
	}
	text := func(v float64) []string { return []string{strconv.FormatFloat(round1(v), 'f', -1, 64)} }
	values := map[string][]string{
		"temperature_unit": {scale}, "wind_unit": {windUnit},
		"low": text(degrees(f.Low)), "high": text(degrees(f.High)), "dew_point": text(degrees(f.DewPoint)),
		"wind": text(wind), "cloud": text(float64(f.Cloud.Percent())),
	}
	maps.Copy(values, officialValues(f.Official))
	return values
}

func (s *hikesHandlers) hikeFormPage(r *http.Request, of *hike.Hike, trails []hike.Trail, people []account.Account, a view.Answers) view.HikeFormPage {
	p := view.HikeFormPage{Page: s.page(r, "Schedule a hike", "Desk"), URL: "/hikes", BackURL: "/desk", NoTrails: len(trails) == 0}
	if of != nil {
		p.Page = s.page(r, "Change "+of.Title, "Desk")
		p.Edit, p.URL, p.BackURL, p.Posted = true, hikePath(of.ID), managePath(of.ID), of.State == hike.Posted
	}
	var trailOptions, peopleOptions []view.Option
	for _, t := range trails {
		trailOptions = append(trailOptions, view.Option{Value: strconv.FormatInt(int64(t.ID), 10), Label: t.Name + ", " + format.Length(t.Profile.Length, p.Units)})
	}
	for _, x := range people {
		if x.Active && (x.Has(account.Leader) || x.Has(account.Coordinator)) {
			peopleOptions = append(peopleOptions, view.Option{Value: strconv.FormatInt(int64(x.ID), 10), Label: x.Name})
		}
	}
	p.Fields = view.NewHikeFields(a, trailOptions, peopleOptions)
	if house, err := s.Hikes.House(r.Context()); err == nil {
		p.Fields.Places.Hint = fmt.Sprintf("Staff do not take places. The house asks for one of staff to %d, and never fewer than %d.", house.Rules.Ratio, house.Rules.FewestStaff)
	}
	return p
}
