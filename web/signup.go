package web

import (
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/view"
)

func (s *Server) showSignUp(w http.ResponseWriter, r *http.Request) error {
	return s.renderSignUp(w, r, http.StatusOK, view.Answers{})
}

func (s *Server) renderSignUp(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	t, err := s.tell(r.Context(), hikeIn(r))
	if err != nil {
		return err
	}
	if !t.hike.TakesSignUps(s.Now()) {
		return hike.Refusal("This hike no longer takes sign-ups.")
	}
	return s.render(w, r, status, view.Signup(s.signUpPage(r, t, a)))
}

func (s *Server) signUpPage(r *http.Request, t told, a view.Answers) view.SignupPage {
	h, u := t.hike, s.unitsOf(r)
	version, _ := hike.RisksVersion()
	p := view.SignupPage{
		Page: s.page(r, "Ask for a place", "Hikes"), Hike: h.Title + ", " + view.Day(h.Start, t.zone()),
		Action: hikePath(h.ID) + "/sign-up", Submit: "Ask for a place", Facts: t.facts(u), Risks: hike.Risks(),
		Version: "Version " + version + ". We keep which version you agreed to, and when.",
	}
	if free := h.Places - t.taken(t.now); free <= 0 || t.count(hike.Waiting) > 0 {
		p.Full = t.placesNote() + " You would be put on the waiting list, in the order of asking."
	}
	askWho(&p, a, h)
	askWalking(&p, a, t, u)
	askHeat(&p, a)
	askCar(&p, a)
	p.Seal = s.sealOf(r, h.ID, lastOf(a.Typed["seal"]))
	return p
}

func askWho(p *view.SignupPage, a view.Answers, h hike.Hike) {
	rules := h.Rules()
	p.Name = a.Asked(view.Field{Name: "name", Label: "Your name", Hint: "As your family would say it.", Autocomplete: "name"})
	p.Email = a.Asked(view.Field{Name: "email", Label: "Mail address", Hint: "Your place and your water come here. It is not shown to other walkers.", Kind: "email", Autocomplete: "email"})
	p.Mobile = a.Asked(view.Field{Name: "mobile", Label: "Mobile you carry that day", Hint: "With its area code; start a foreign number with + and the country.", Kind: "tel", Autocomplete: "tel"})
	p.Contact = a.Asked(view.Field{Name: "contact", Label: "Whom do we ring?", Hint: "Someone who stays at home that day, not one of this hike."})
	p.ContactTel = a.Asked(view.Field{Name: "contact_tel", Label: "Their phone number", Hint: "Start a foreign number with + and the country.", Kind: "tel"})
	p.ContactMail = a.Asked(view.Field{Name: "contact_email", Label: "Their mail address", Hint: "Three days before the hike we ask them there whether they can be reached. Without it a leader rings them.", Kind: "email", Optional: true})
	p.Age = a.Asked(view.Field{Name: "age", Label: "How old are you on that day?", Hint: "The band is enough.", Options: []view.Option{
		{Value: "adult", Label: fmt.Sprintf("%d to %d", rules.YoungestAlone, rules.TalkFrom-1)},
		{Value: "minor", Label: fmt.Sprintf("Under %d", rules.YoungestAlone), Note: "A parent or guardian agrees for you."},
		{Value: "older", Label: fmt.Sprintf("%d or over", rules.TalkFrom), Note: "Welcome. On strenuous hikes we ask for a like walk lately."}}})
	p.Guardian = a.Asked(view.Field{Name: "guardian", Label: "Name of parent or guardian", Optional: true})
	p.Adult = a.Asked(view.Field{Name: "adult", Label: "Adult on this hike who answers for the child", Optional: true,
		Hint: fmt.Sprintf("By name, as they signed up. One adult answers for %d children at most.", rules.MinorsPerAdult)})
	p.GuardianTel = a.Asked(view.Field{Name: "guardian_tel", Label: "Their phone number", Optional: true, Kind: "tel"})
	p.Consent = askBox(a, view.Field{Name: "consent", Label: "I am the parent or legal guardian. I have read the risks below, and I agree that the child comes.", Optional: true})
	p.Agree = askBox(a, view.Field{Name: "agree", Label: "I have read these sentences, I understand them, and I come by my own decision."})
}

// askBox keeps a box as it was ticked.
func askBox(a view.Answers, f view.Field) view.Field {
	f = a.Asked(f)
	f.Checked = len(a.Typed[f.Name]) > 0
	return f
}

func yesNo(a view.Answers, f view.Field) view.Field {
	f.Options = append([]view.Option{{Value: "yes", Label: "Yes"}, {Value: "no", Label: "No"}}, f.Options...)
	return a.Asked(f)
}

func askWalking(p *view.SignupPage, a view.Answers, t told, u view.System) {
	far, up := "km", "m"
	if u == view.US {
		far, up = "mi", "ft"
	}
	units := func(own string, all ...string) (list []view.Option) {
		for _, x := range all {
			list = append(list, view.Option{Value: x, Label: x, Selected: x == own})
		}
		return list
	}
	p.Walk = []view.Field{
		a.Asked(view.Field{Name: "walk_distance", Label: "How far was your longest walk lately?", Kind: "number", Short: true}),
		a.Asked(view.Field{Name: "walk_unit", Label: "in", Kind: "select", Short: true, Options: units(far, "km", "mi")}),
		a.Asked(view.Field{Name: "walk_climb", Label: "How much did it climb?", Hint: "0 for level ground.", Kind: "number", Short: true}),
		a.Asked(view.Field{Name: "climb_unit", Label: "in", Kind: "select", Short: true, Options: units(up, "m", "ft")}),
		a.Asked(view.Field{Name: "walk_hours", Label: "How long did it take?", Kind: "number", Unit: "hours", Short: true}),
		a.Asked(view.Field{Name: "walk_ago", Label: "How long ago was it?", Kind: "number", Unit: "weeks", Short: true}),
	}
	p.Longest = a.Asked(view.Field{Name: "longest", Label: "Where was it, and how did you feel after?"})
	p.Water = a.Asked(view.Field{Name: "water", Label: "How much water can you carry?", Unit: "litres", Short: true, Step: "0.5"})
	if t.plan != nil {
		p.Water.Hint = "This hike needs " + view.Volume(t.plan.Water.Carry, view.Metric) + " of each person."
		if u == view.US {
			p.Water.Hint += " That is " + view.Volume(t.plan.Water.Carry, view.US) + "."
		}
	}
	p.Shoes = a.Asked(view.Field{Name: "shoes", Label: "What shoes do you walk in?", Hint: "Closed, with a tread. With others you are turned away."})
	p.Poles = askBox(a, view.Field{Name: "poles", Label: "I bring walking poles.", Optional: true})
	p.Needs = a.Asked(view.Field{Name: "needs", Label: "Anything the leader should do for you that day?", Hint: "What to do is enough: no diagnosis needed. It is kept sealed; those who lead this hike read it on the day, and your own page lets you write more or take it away.", Optional: true})
}

func askHeat(p *view.SignupPage, a view.Answers) {
	p.HotDays = a.Asked(view.Field{Name: "hot_days", Label: "On how many of the last 14 days did you walk or work in heat?", Unit: "days", Short: true, Min: "0", Max: "14"})
	p.Heat = []view.Field{
		yesNo(a, view.Field{Name: "hot_before", Label: "Have you walked in hot weather before?"}),
		yesNo(a, view.Field{Name: "lives_here", Label: "Have you been in this climate for more than two weeks?"}),
		a.Asked(view.Field{Name: "here", Label: "If not: for how many days?", Kind: "number", Unit: "days", Short: true, Optional: true}),
		a.Asked(view.Field{Name: "from", Label: "and where did you come from?", Optional: true}),
		yesNo(a, view.Field{Name: "heat_ill", Label: "Has heat ever made you ill?"}),
	}
	p.Health = yesNo(a, view.Field{Name: "health", Label: "Is there anything about your health that heat or effort could touch?",
		Hint: "Heart, lungs, diabetes, pregnancy, a medicine. Do not write what it is: a yes means that the leader rings you."})
	p.Drive = a.Asked(view.Field{Name: "drive", Label: "How long do you drive to the trailhead?", Unit: "minutes", Short: true, Optional: true, Hint: "So that no place is offered to you too late to come."})
}

func askCar(p *view.SignupPage, a view.Answers) {
	car := carFields(a)
	p.Plate, p.CarMake, p.CarColour, p.CarSeats = car[0], car[1], car[2], car[3]
	p.RideShare, p.RideTown = shareFields(a)
}

func (t told) facts(u view.System) []view.Line {
	line := trailLine(t.trail, u)
	facts := []view.Line{
		{Label: "Meet", Value: view.Clock(t.hike.Meet, t.zone()), Note: t.trail.Meeting},
		{Label: "Walk", Value: line.Length, Note: ascentNote(line)},
	}
	if t.plan != nil {
		facts = append(facts,
			view.Line{Label: "On the trail", Value: view.DurationRange(t.plan.Time.P50.Duration(), t.plan.Time.P90.Duration())},
			view.Line{Label: "Water each", Value: view.Volume(t.plan.Water.Carry, u)})
		if t.plan.Verdict.Decision != plan.Go {
			facts = append(facts, view.Line{Label: "The plan says", Value: string(t.plan.Verdict.Decision), Note: decisionWords(t.hike)})
		}
	}
	return facts
}

func ascentNote(l view.TrailLine) string {
	if l.Class == "" {
		return "ascent not known"
	}
	return l.Ascent + " of ascent; " + l.Class + ", its number is " + l.Number
}

// signUp takes a request for a place. The answer is the person's private page, so that
// nobody depends on a mail arriving.
func (s *Server) signUp(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tell(r.Context(), hikeIn(r))
	if err != nil {
		return err
	}
	if !t.hike.TakesSignUps(s.Now()) {
		return hike.Refusal("This hike no longer takes sign-ups.")
	}
	f := newForm(r)
	p := s.readSignUp(f, t.hike.ID)
	share := f.sharing(s.Now())
	invalid, err := f.invalid(checkSignUp(&p, share, t))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	if err := s.checkSeal(r, t.hike.ID); err != nil {
		return s.signUpAgain(w, r, t, err)
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	p.Link = hash[:]
	p.Screening.Talk = hike.TalkFirst(p, t.trail, t.plan, t.hike.Rules())
	version, text := hike.RisksVersion()
	if err := s.Hikes.KeepRisks(r.Context(), version, text, s.Now()); err != nil {
		return err
	}
	p.RiskVersion, p.RiskAccepted = version, s.Now()
	p, err = s.Hikes.SignUp(r.Context(), p, s.Now())
	if errors.Is(err, card.ErrNoKey) {
		err = hike.Invalid{"needs": card.ErrNoKey.Error()}
	}
	var taken hike.Invalid // another request was first, between the check and the lock
	if errors.As(err, &taken) {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, answers(r, taken))
	}
	if err != nil {
		return err
	}
	s.keepSharing(r.Context(), p, share)
	s.tellPlace(r.Context(), t, p, secret)
	s.tellCars(r.Context(), t.hike.ID)
	return s.seeOther(w, r, placePath(secret), "Keep the address of this page: it opens your place. It was sent to you by mail too.")
}

// checkSignUp checks the form, then holds it against the hike.
func checkSignUp(p *hike.SignUp, share hike.Sharing, t told) error {
	err := p.Check(hike.RegionOf(t.trail.Zone))
	v, invalid := err.(hike.Invalid)
	if err != nil && !invalid {
		return err
	}
	if !invalid {
		v = hike.Invalid{}
	}
	for _, err := range []error{hike.CheckAdult(*p, t.hike, t.signUps), hike.CheckRide(p.Car, share)} {
		wrong, _ := err.(hike.Invalid)
		for field, message := range wrong {
			v.Add(field, message)
		}
	}
	return v.Err()
}

func placePath(secret account.Secret) string { return "/place/" + secret.Reveal() }

func (s *Server) readSignUp(f form, id hike.HikeID) hike.SignUp {
	p := hike.SignUp{
		ID: uuid.NewString(), Hike: id, Asked: s.Now(),
		Name: f.text("name"), Email: f.text("email"), Mobile: f.text("mobile"),
		EmergencyName: f.text("contact"), EmergencyPhone: f.text("contact_tel"), ContactEmail: f.text("contact_email"), LongestWalk: f.paragraph("longest"),
		HotDays: f.whole("hot_days", "Give a whole number of days, 0 to 14."),
		Water:   unit.Volume(f.number("water", "Give litres, such as 4 or 4.5.")),
		Told:    f.told(),
		Minor:   f.text("age") == "minor", Guardian: f.text("guardian"), GuardianPhone: f.text("guardian_tel"),
		Adult: f.text("adult"), Car: f.car(),
		Needs: f.paragraph("needs"), Acknowledged: f.checked("agree"),
	}
	if f.checked("consent") {
		p.Consented = s.Now()
	}
	if age := f.text("age"); age != "adult" && age != "minor" && age != "older" {
		f.faults.Add("age", "Say which it is: the band is enough.")
	}
	return p
}

// told reads what a person tells of themselves.
func (f form) told() hike.Walker {
	t := hike.Walker{
		Walk: hike.Outing{
			Distance: f.length("walk_distance", "walk_unit", "Give how far it was, such as 8; 0 where there was none."),
			Ascent:   f.length("walk_climb", "climb_unit", "Give how much it climbed, such as 200; 0 for level ground."),
			Took:     time.Duration(f.number("walk_hours", "Give how many hours it took, such as 2.5.") * float64(time.Hour)),
		},
		WalkAgo:   int(7 * f.number("walk_ago", "Give how many weeks ago it was; 0 for this week.")),
		HotBefore: f.yes("hot_before"), LivesHere: f.yes("lives_here"), HeatIll: f.yes("heat_ill"), Health: f.yes("health"),
		Older: f.text("age") == "older", Shoes: f.text("shoes"), Poles: f.checked("poles"),
		From: f.text("from"), Here: f.whole("here", "Give a whole number of days."),
		Drive: time.Duration(f.whole("drive", "Give whole minutes.")) * time.Minute,
	}
	if !t.LivesHere && f.text("lives_here") == "no" && f.text("here") == "" {
		f.faults.Add("here", "Give for how many days you have been here; 0 if you are still to come.")
	}
	return t
}

// yes reads a question that has to be answered.
func (f form) yes(name string) bool {
	answer := f.text(name)
	if answer != "yes" && answer != "no" {
		f.faults.Add(name, "Say yes or no.")
	}
	return answer == "yes"
}

// withdraw gives a place back, and with an adult's the places of the children they answer
// for: the page says so before.
func (s *Server) withdraw(w http.ResponseWriter, r *http.Request) error {
	if err := s.withdrawCharges(r); err != nil {
		return err
	}
	return s.changePlace(w, r, (*hike.SignUp).Withdraw, "Your place is given back. Thank you for telling us.")
}

func (s *Server) withdrawCharges(r *http.Request) error {
	p := placeIn(r)
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	all, err := s.Hikes.SignUps(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	for _, child := range hike.Charges(p, all) {
		moved, err := s.Hikes.ChangeSignUp(r.Context(), child.ID, s.Now(), (*hike.SignUp).Withdraw)
		if err != nil {
			return err
		}
		s.tellActed(r.Context(), h, child.ID, child.State, "")
		s.tellMoved(r.Context(), h, moved, child.ID)
	}
	return nil
}

// askAgain undoes a withdrawal as far as it can be undone: the person queues anew, and
// is confirmed at once where a place is free.
func (s *Server) askAgain(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, (*hike.SignUp).AskAgain, "You are back on the list.")
}

func (s *Server) changePlace(w http.ResponseWriter, r *http.Request, change func(*hike.SignUp) error, said string) error {
	p := placeIn(r)
	moved, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, s.Now(), change)
	if err != nil {
		return err
	}
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	s.tellActed(r.Context(), h, p.ID, p.State, s.BaseURL+"/place/"+secretIn(r))
	s.tellMoved(r.Context(), h, moved, p.ID)
	return s.seeOther(w, r, "/place/"+secretIn(r), said)
}

// car reads what a person comes in.
func (f form) car() hike.Car {
	return hike.Car{Plate: f.text("plate"), Make: f.text("car_make"), Colour: f.text("car_colour"),
		Seats: f.whole("car_seats", "Give a whole number of seats."), Lot: f.text("car_lot")}
}

func lastOf(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[len(values)-1]
}
