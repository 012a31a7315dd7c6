package hikes

import (
	"fmt"
	"net/http"
	"strconv"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// renderHike shows the page on which staff manage a hike. The state belongs to the form that was
// sent, which its address tells.
func (s *Handlers) renderHike(w http.ResponseWriter, r *http.Request, status int, h hike.Hike, a ui.FormState) error {
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	p := s.hikePage(r, t, a)
	if err := s.addGroundAndDecision(&p, r, t, a); err != nil {
		return err
	}
	if p.DayLinks, err = s.dayLinks(r, h, kit.FormAnswers(r, "day-links", a)); err != nil {
		return err
	}
	return s.Render(w, r, status, view.Hike(p))
}

func (s *Handlers) hikePage(r *http.Request, t hike.Data, a ui.FormState) view.HikePage {
	h, zone := t.Hike, t.Zone()
	open := h.State == hike.Draft || h.State == hike.Posted
	p := view.HikePage{
		Page: s.Page(r, h.Title, "Desk"), URL: paths.Hike(h.ID), Name: h.Title, State: ui.StampOf(string(h.State)),
		When: format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone) + ", walk from " +
			format.Clock(h.Start, zone),
		Trail: t.Trail.Name, TrailURL: paths.Trail(t.Trail.ID), NoticeURL: paths.Hike(h.ID),
		RollURL:      paths.Hike(h.ID) + "/roll",
		ForecastOpen: open, Places: placesWords(h, t.Count(signup.Confirmed), t.Count(signup.Waiting)),
		OnCall: view.HikeContact(h.OnCall), Deputy: view.HikeContact(h.Deputy),
		StaffNote: fmt.Sprintf("%d for %s; the house asks for at least %d.",
			len(h.Staff), format.Count(h.Places, "place", "places"), h.StaffNeeded()),
	}
	if open {
		p.EditURL = paths.Hike(h.ID) + "/edit"
	}
	if h.State == hike.Out || h.State == hike.Back {
		p.Papers = []ui.NavLink{{Label: "Watch", URL: paths.Hike(h.ID) + "/watch"},
			{Label: "Hand-over sheet", URL: paths.Hike(h.ID) + "/hand-over"}}
	}
	p.Papers = append(p.Papers, ui.NavLink{Label: "Trip sheet", URL: paths.TripSheet(h.ID)})
	p.Papers = append(p.Papers, ui.NavLink{Label: "For the land manager", URL: paths.Land(h.ID)})
	if s.StaffVisibility(r, h).CanSee(privacy.KindScreening) {
		p.Papers = append(p.Papers, ui.NavLink{Label: talksLabel(t), URL: paths.Screening(h.ID)})
	}
	if h.State != hike.CalledOff && h.State != hike.Closed {
		p.Papers = append(p.Papers, ui.NavLink{Label: "Cars", URL: paths.Cars(h.ID)})
	}
	p.Forecast = forecastFields(h, kit.FormAnswers(r, "forecast", a), p.Units)
	for _, m := range h.Staff {
		p.Staff = append(p.Staff,
			view.HikeStaff{Role: string(m.Role), Name: m.Name, Phone: m.Phone, Answer: string(m.Answer)})
	}
	s.hikeDecision(&p, r, t, a)
	p.Post, p.OnCallWarning = postText(h), h.OnCallWarning(party.Departure{})
	p.OnCallAnswer = string(h.OnCallAnswer())
	s.staffOnPage(r, &p, h, a)
	p.Close = closeText(h, kit.FormAnswers(r, "close", a))
	s.signUpsOnPage(r, &p, t, a)
	s.hikePlan(&p, t)
	return p
}

// talksLabel says how many talks are still to be had.
func talksLabel(t hike.Data) string {
	n := 0
	for _, x := range t.SignUps {
		if x.State == signup.Asked {
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
	if err := h.Post(); err != nil { // h is a copy
		return view.PostText{Refused: err.Error()}
	}
	return view.PostText{Can: true}
}

func closeText(h hike.Hike, a ui.FormState) view.CloseText {
	c := view.CloseText{Can: h.State == hike.Out || h.State == hike.Back}
	if why := a.Errors["close"]; why != "" {
		c.Missing = []string{why}
	}
	return c
}

func (s *Handlers) hikeDecision(p *view.HikePage, r *http.Request, t hike.Data, a ui.FormState) {
	h, zone := t.Hike, t.Zone()
	verdict := plan.Decision("")
	if t.Plan != nil {
		verdict = t.Plan.Verdict.Decision
	}
	d := view.DecisionText{
		By: format.Moment(h.DecideBy(), zone), Until: kit.Away(h.DecideBy(), s.Now()),
		Late: h.AwaitsDecision() && s.Now().After(h.DecideBy()),
		Open: h.AwaitsDecision(), CanCallOff: h.State == hike.Draft || h.State == hike.Posted,
		CalledOff:     h.CalledOffBecause,
		GoReason:      view.NewGoReason(kit.FormAnswers(r, "decide", a), verdict != plan.Go),
		CallOffReason: view.NewCallOffReason(kit.FormAnswers(r, "call-off", a)),
	}
	switch {
	case t.Plan == nil:
		d.ReasonNeeded = "There is no plan. To go without one needs a written reason."
	case verdict != plan.Go:
		d.ReasonNeeded = "The plan says " + string(verdict) + ". To go all the same needs a written reason."
	}
	if h.Decision.Made() {
		d.Made = h.Decision.Says() + " Decided by " + h.Decision.By + " on " + format.Moment(h.Decision.At, zone) + "."
		d.On = decisionBasis(h.Decision)
		d.MadeReason = h.Decision.Reason
	}
	if h.State == hike.CalledOff {
		d.Made = "" // the reason for calling off says it
	}
	p.Decision = d
}

// signUpsOnPage lists the sign-ups, as far as the viewer may see them.
func (s *Handlers) signUpsOnPage(r *http.Request, p *view.HikePage, t hike.Data, a ui.FormState) {
	visible := s.StaffVisibility(r, t.Hike)
	if s.May(r, account.SaveSignUps) {
		p.SaveURL = paths.Hike(t.Hike.ID) + "/sign-ups.csv"
	}
	if visible.CanSee(privacy.KindScreening) && t.Hike.TakesSignUps(s.Now()) {
		p.BringURL = paths.Sheet(t.Hike.ID)
	}
	p.HidesTold, p.HidesReach = !visible.CanSee(privacy.KindScreening), !visible.CanSee(privacy.KindContact)
	switch {
	case len(t.SignUps) == 0:
		return
	case !visible.CanSee(privacy.KindName):
		p.SignUpsClosed = kit.OpensWords("Sweep and assistants read the names", t.Hike)
		return
	case p.HidesReach:
		p.SignUpsClosed = kit.OpensWords("Numbers, addresses and whom to ring in need open", t.Hike)
	}
	p.SignUps = hikeSignUps(r, t, p.Units, a, visible)
}

func hikeSignUps(r *http.Request, t hike.Data, u format.System, a ui.FormState,
	visible privacy.Visibility) []view.HikeSignUp {
	var rows []view.HikeSignUp
	for i, x := range t.SignUps {
		row := view.HikeSignUp{
			Order: strconv.Itoa(i + 1), Name: x.Name, State: ui.StampOf(string(x.State)), Minor: x.Minor,
			BroughtBy: x.ImportedBy, Water: format.Volume(x.Water, u),
		}
		if visible.CanSee(privacy.KindScreening) {
			row.LongestWalk, row.HotDays = x.WalkWords(u != format.US),
				format.Count(x.HotDays, "day", "days")+" of the last 14 active in the heat"
		}
		if visible.CanSee(privacy.KindContact) {
			row.Guardian, row.Mobile, row.Email = x.Guardian, x.Mobile, x.Email
			row.Contact = view.HikeContact{Name: x.EmergencyName, Phone: x.EmergencyPhone}
		}
		if x.NoShow {
			row.State = row.State.WithNote("did not come")
		}
		if x.State != signup.Withdrawn && x.State != signup.TurnedAway {
			row.TurnAwayURL = fmt.Sprintf("%s/sign-ups/%s/turn-away", paths.Hike(t.Hike.ID), x.ID)
			row.Reason = view.NewTurnAwayReason(kit.FormAnswers(r, "sign-ups/"+x.ID+"/turn-away", a), x.ID)
		}
		rows = append(rows, row)
	}
	return rows
}

// forecastFields asks for a forecast, beginning with the stored one.
func forecastFields(h hike.Hike, a ui.FormState, u format.System) ui.Fields {
	if h.Forecast == nil {
		return ForecastForm(u).Fields(a)
	}
	return ForecastForm(u).Filled(a, *h.Forecast)
}

func (s *Handlers) hikeFormPage(r *http.Request, of *hike.Hike, trails []trail.Trail, people []account.Account,
	a ui.FormState) view.HikeFormPage {
	p := view.HikeFormPage{Page: s.Page(r, "Schedule a hike", "Desk"), URL: "/hikes", BackURL: "/desk",
		NoTrails: len(trails) == 0}
	if of != nil {
		p.Page = s.Page(r, "Change "+of.Title, "Desk")
		p.Edit, p.URL, p.BackURL, p.Posted = true, paths.Hike(of.ID), paths.Manage(of.ID), of.State == hike.Posted
	}
	x := HikeFormFor{PlacesHint: "Staff do not take places. The house asks for one of staff to eight, and never " +
		"fewer than two."}
	for _, t := range trails {
		x.Trails = append(x.Trails, ui.Option{Value: strconv.FormatInt(int64(t.ID), 10), Label: t.Name + ", " +
			format.Length(t.Profile.Length, p.Units)})
	}
	for _, person := range people {
		if person.Active && (person.Has(account.Leader) || person.Has(account.Coordinator)) {
			x.People = append(x.People, ui.Option{Value: person.ID.String(), Label: person.Name})
		}
	}
	if house, err := s.Hikes.House(r.Context()); err == nil {
		x.PlacesHint = fmt.Sprintf("Staff do not take places. The house asks for one of staff to %d, and never fewer "+
			"than %d.", house.Rules.Ratio, house.Rules.FewestStaff)
	}
	if of == nil {
		p.Fields = HikeForm(x).Fields(a)
	} else {
		p.Fields = HikeForm(x).Filled(a, *of)
	}
	return p
}
