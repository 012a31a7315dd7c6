package signups

import (
	"fmt"
	"net/http"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ShowPlace shows a participant their place, by their private link.
func (s *Handlers) ShowPlace(w http.ResponseWriter, r *http.Request) error {
	place := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), place.Hike)
	if err != nil {
		return err
	}
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	c, err := s.carsOf(r.Context(), t)
	if err != nil {
		return err
	}
	p := s.placePage(r, t, place)
	carsOnPlace(c, &p, r, place, ui.FormState{})
	return s.Render(w, r, http.StatusOK, view.Place(p))
}

func (s *Handlers) placePage(r *http.Request, t hike.Data, place signup.SignUp) view.PlacePage {
	u, zone, h := s.UnitsOf(r), t.Zone(), t.Hike
	p := view.PlacePage{
		Page: s.Page(r, "Your place", ""), Person: place.Name, Hike: h.Title,
		Date:  format.Day(h.Start, zone) + ", meet at " + format.Clock(h.Meet, zone),
		State: ui.StampOf(string(place.State)), StateSays: stateText(t, place), Meeting: kit.MeetingLines(t),
		Food: "Salty snacks that you can reach while walking; the amount comes with the plan.",
	}
	p.Private = true
	for _, k := range signup.Kit() {
		p.Kit = append(p.Kit, view.KitItem{Text: k.What, Why: k.Why})
	}
	if h.OnCall.Name != "" {
		p.Ring = append(p.Ring, format.Line{Label: "On call that day", Value: h.OnCall.Name + ", " + h.OnCall.Phone,
			URL: "tel:" + h.OnCall.Phone})
	}
	if place.OnHike() && h.Changed.Since(place.Asked) {
		p.News = kit.ChangedWhy(t, "Changed since you signed up", u)
	}
	p.CalendarURL, p.CardURL = s.placeFiles(r, t, place)
	p.Card = s.medicalCard(r, h, place)
	p.DataURL = "/place/" + kit.SecretIn(r) + "/data"
	s.placeActions(&p, r, t, place)
	s.placeScreening(&p, r, t, place)
	placeContact(&p, r, t, place, ui.FormState{})
	placeOthers(&p, r, s.BaseURL, t, place)
	placePlan(t, &p, place, u)
	return p
}

// stateText says what the state means for the person.
func stateText(t hike.Data, place signup.SignUp) string {
	if t.Hike.State == hike.CalledOff {
		return "This hike is called off: " + t.Hike.WhyCalledOff() +
			" Please do not walk it as a group without a leader."
	}
	switch place.State {
	case signup.Confirmed:
		return "You have a place. Pack the evening before; there may be no signal at the trailhead."
	case signup.Asked:
		words := "The leader would like a word with you before your place is confirmed."
		if until := hike.Held(t.Hike, place); until != "" && place.HoldsPlace(t.Now) {
			words += " A place is kept for you until " + until + "."
		}
		return words
	case signup.Offered:
		if place.HeldUntil.IsZero() {
			return "The walk asks more of you than before. Your place is kept; say whether you come."
		}
		return "A place has come free. It is kept for you until " + hike.Held(t.Hike, place) +
			", and goes to the next after that."
	case signup.Waiting:
		return fmt.Sprintf("You do not have a place yet. %s before you. If one comes free this page says so, and a "+
			"mail goes out.", format.Count(waitingBefore(t, place), "person is", "people are"))
	case signup.Withdrawn:
		return format.OrElse(place.Because, "You are not coming. Thank you for telling us in time.")
	}
	return "You have no place on this hike: " + format.OrElse(place.Because, "the leader did not say why.") +
		" Ask the leader which hike would fit."
}

// waitingBefore counts those ahead on the waiting list.
func waitingBefore(t hike.Data, place signup.SignUp) int {
	n := 0
	for _, s := range t.SignUps {
		if s.State == signup.Waiting && s.Order < place.Order {
			n++
		}
	}
	return n
}

// placeActions offers what the person can do about the place.
func (s *Handlers) placeActions(p *view.PlacePage, r *http.Request, t hike.Data, place signup.SignUp) {
	if !t.Hike.TakesSignUps(s.Now()) {
		return
	}
	at := "/place/" + kit.SecretIn(r)
	switch place.State {
	case signup.Offered:
		p.Answer = []ui.ButtonText{{Label: "Take the place", URL: at + "/take", Kind: ui.ButtonMain},
			{Label: "Leave it to the next", URL: at + "/withdraw"}}
	case signup.Asked, signup.Confirmed, signup.Waiting:
		p.Withdraw = ui.ButtonText{Label: "Give my place back", URL: at + "/withdraw", Kind: ui.ButtonGrave}
		p.WithdrawSays = "Your place goes to the next on the list. If you change your mind you can ask again, at the " +
			"end of the list."
		if n := len(signup.Charges(place, t.SignUps, t.Hike.Staff)); n > 0 {
			with := format.Count(n, "child", "children")
			p.Withdraw.Label = "Give back my place, and that of " + with
			p.WithdrawSays = "You answer for " + with +
				" on this hike, and no child walks without its adult: all these places go to the next on the list. " +
				"If another adult is to take over, call the leader first."
		}
	case signup.Withdrawn:
		p.Answer = []ui.ButtonText{{Label: "I come after all", URL: at + "/ask-again", Kind: ui.ButtonMain}}
	}
}

func placePlan(t hike.Data, p *view.PlacePage, place signup.SignUp, u format.System) {
	switch {
	case t.Hike.State == hike.CalledOff:
		p.Off, p.State = true, ui.StampOf(string(t.Hike.State))
		return
	case place.State == signup.Withdrawn || place.State == signup.TurnedAway:
		p.Off = true
		return
	}
	if t.Plan == nil {
		p.Water = []ui.FigureText{{Label: "Bring",
			Note: "Worked out from the forecast, a day or two before. Until then plan for at least a litre an hour."}}
		p.DrinkNote = "Drink when you are thirsty, a little at a time, and " + kit.DrinkCeiling(u) + "."
		p.Family = "The time of return is worked out with the plan; look here again the evening before."
		return
	}
	zone := t.Zone()
	p.Water, p.WaterWhy = kit.WaterFigures(t.Plan, u), kit.WaterWhy(t.Plan, u)
	if short := t.Plan.Water.Carry - place.Water; short > 0 {
		p.Changed = ui.NoteText{Kind: ui.NoteCaution, Title: "More water than you said",
			Text: fmt.Sprintf("You wrote that you can carry %s. This hike needs %s. Bring the rest, or talk with the "+
				"leader: nobody leaves with less.", format.Volume(place.Water, u),
				format.Volume(t.Plan.Water.Carry, u))}
	}
	p.Food = fmt.Sprintf("Salty snacks for %s, in small bags you can reach while walking, and a meal of about %s "+
		"before you come.", format.Energy(t.Plan.Food.Carry), format.Energy(t.Plan.Food.BeforeStart))
	p.Back = kit.BackRange(t, zone)
	p.Family = kit.Family(t, zone)
	p.Drinks = drinkLines(t, u)
	p.DrinkNote = "Drink when you are thirsty between these times, a little at a time, and " + kit.DrinkCeiling(u) +
		". Sick, bloated and have drunk a lot? Stop drinking, eat something salty, and tell the leader."
	p.PlanMade = "Worked out on " + format.Moment(t.Stored.Made, zone) + ", model " + t.Plan.Model +
		". A new forecast makes a new plan."
}

// drinkLines says when to drink and eat on this hike: every 30 minutes until the late time.
func drinkLines(t hike.Data, u format.System) []view.DrinkLine {
	times, err := supply.Clock(t.Hike.Start, t.Plan.Time.P90.Duration())
	if err != nil {
		return nil
	}
	each, left := supply.PerStop(t.Plan.Water.Drink), t.Plan.Water.Carry
	bite := eachStop(t.Plan, len(times))
	var lines []view.DrinkLine
	for i, at := range times {
		left = max(0, left-each)
		line := view.DrinkLine{Clock: format.Clock(at, t.Zone()), Drink: format.Volume(each, u),
			Left: format.Volume(left, u) + " left"}
		if i%2 == 1 { // one snack an hour is easier than crumbs
			line.Eat = "about " + format.Energy(2*bite)
		}
		lines = append(lines, line)
	}
	return lines
}

func eachStop(p *plan.Plan, stops int) unit.Energy {
	return p.Food.Carry / unit.Energy(max(stops, 1))
}
