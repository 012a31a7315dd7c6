package web

import (
	"crypto/rand"
	"net/http"

	"github.com/google/uuid"

	"saltbush/internal/account"
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
	p := view.SignupPage{
		Page: s.page(r, "Ask for a place", "Hikes"), Hike: h.Title + ", " + view.Day(h.Start, t.zone()),
		Action: hikePath(h.ID) + "/sign-up", Submit: "Ask for a place", Facts: t.facts(u), Risks: hike.Risks(),
		Version: "Version 1. We keep that you agreed to it, and when.",
	}
	if free := h.Places - t.count(hike.Confirmed); free <= 0 || t.count(hike.Waiting) > 0 {
		p.Full = t.placesNote() + " You would be put on the waiting list, in the order of asking."
	}
	askWho(&p, a)
	askWalking(&p, a, t, u)
	askCar(&p, a)
	return p
}

func askWho(p *view.SignupPage, a view.Answers) {
	p.Name = a.Asked(view.Field{Name: "name", Label: "Your name", Hint: "As your family would say it.", Autocomplete: "name"})
	p.Email = a.Asked(view.Field{Name: "email", Label: "Mail address", Hint: "Your place and your water come here. It is not shown to other walkers.", Kind: "email", Autocomplete: "email"})
	p.Mobile = a.Asked(view.Field{Name: "mobile", Label: "Mobile you carry that day", Kind: "tel", Autocomplete: "tel"})
	p.Contact = a.Asked(view.Field{Name: "contact", Label: "Whom do we ring?", Hint: "Someone who stays at home that day, not one of this hike."})
	p.ContactTel = a.Asked(view.Field{Name: "contact_tel", Label: "Their phone number", Hint: "Start a foreign number with + and the country.", Kind: "tel"})
	p.Age = a.Asked(view.Field{Name: "age", Label: "Are you 18 or over?", Options: []view.Option{
		{Value: "adult", Label: "Yes"}, {Value: "minor", Label: "No", Note: "A parent or guardian agrees for you."}}})
	p.Guardian = a.Asked(view.Field{Name: "guardian", Label: "Name of parent or guardian", Optional: true})
	p.Adult = a.Asked(view.Field{Name: "adult", Label: "Adult on this hike who answers for the child", Hint: "By name, as they signed up. One adult answers for three children at most.", Optional: true})
	p.GuardianTel = a.Asked(view.Field{Name: "guardian_tel", Label: "Their phone number", Optional: true, Kind: "tel"})
	p.Agree = a.Asked(view.Field{Name: "agree", Label: "I have read these sentences, I understand them, and I come by my own decision."})
	p.Agree.Checked = len(a.Typed["agree"]) > 0
}

func askWalking(p *view.SignupPage, a view.Answers, t told, u view.System) {
	p.Longest = a.Asked(view.Field{Name: "longest", Label: "What is the longest walk you took lately?", Hint: "Where, how far, how long it took, and how you felt after."})
	p.Water = a.Asked(view.Field{Name: "water", Label: "How much water can you carry?", Unit: "litres", Short: true, Step: "0.5"})
	if t.plan != nil {
		p.Water.Hint = "This hike needs " + view.Volume(t.plan.Water.Carry, view.Metric) + " of each person."
		if u == view.US {
			p.Water.Hint += " That is " + view.Volume(t.plan.Water.Carry, view.US) + "."
		}
	}
	p.HotDays = a.Asked(view.Field{Name: "hot_days", Label: "On how many of the last 14 days did you walk or work in heat?", Unit: "days", Short: true, Min: "0", Max: "14"})
	p.Needs = a.Asked(view.Field{Name: "needs", Label: "Anything the leader should do for you that day?", Hint: "What to do is enough: no diagnosis needed. It is seen by the leaders of this hike.", Optional: true})
}

func askCar(p *view.SignupPage, a view.Answers) {
	p.Plate = a.Asked(view.Field{Name: "plate", Label: "Plate of the car you come in", Hint: "A car left in the lot tells us who is still out. It is deleted after the hike.", Optional: true, Short: true})
	p.CarMake = a.Asked(view.Field{Name: "car_make", Label: "Make of car", Optional: true, Short: true})
	p.CarColour = a.Asked(view.Field{Name: "car_colour", Label: "Colour", Optional: true, Short: true})
	p.CarSeats = a.Asked(view.Field{Name: "car_seats", Label: "Seats you can offer to others", Optional: true, Short: true, Min: "0", Max: "20"})
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
	h := hikeIn(r)
	f := newForm(r)
	p := s.readSignUp(f, h.ID)
	invalid, err := f.invalid(p.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	p.Link = hash[:]
	if p, err = s.Hikes.SignUp(r.Context(), p, s.Now()); err != nil {
		return err
	}
	s.tellPlace(r, h, p, secret)
	return s.seeOther(w, r, placePath(secret), "Keep the address of this page: it opens your place. It was sent to you by mail too.")
}

func placePath(secret account.Secret) string { return "/place/" + secret.Reveal() }

func (s *Server) readSignUp(f form, id hike.HikeID) hike.SignUp {
	p := hike.SignUp{
		ID: uuid.NewString(), Hike: id, Asked: s.Now(),
		Name: f.text("name"), Email: f.text("email"), Mobile: f.text("mobile"),
		EmergencyName: f.text("contact"), EmergencyPhone: f.text("contact_tel"), LongestWalk: f.text("longest"),
		HotDays: f.whole("hot_days", "Give a whole number of days, 0 to 14."),
		Water:   unit.Volume(f.number("water", "Give litres, such as 4 or 4.5.")),
		Minor:   f.text("age") == "minor", Guardian: f.text("guardian"), GuardianPhone: f.text("guardian_tel"),
		Adult: f.text("adult"), Car: f.car(),
		Needs: f.text("needs"), Acknowledged: f.checked("agree"),
	}
	if age := f.text("age"); age != "adult" && age != "minor" {
		f.faults.Add("age", "Say whether you are 18 or over.")
	}
	return p
}

func (s *Server) withdraw(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, (*hike.SignUp).Withdraw, "Your place is given back. Thank you for telling us.")
}

// askAgain undoes a withdrawal as far as it can be undone: the person queues anew, and
// is confirmed at once where a place is free.
func (s *Server) askAgain(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, (*hike.SignUp).AskAgain, "You are back on the list.")
}

func (s *Server) changePlace(w http.ResponseWriter, r *http.Request, change func(*hike.SignUp) error, said string) error {
	p := placeIn(r)
	promoted, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, s.Now(), change)
	if err != nil {
		return err
	}
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	s.tellPromoted(r, h, promoted)
	return s.seeOther(w, r, "/place/"+secretIn(r), said)
}

// car reads what a person comes in.
func (f form) car() hike.Car {
	return hike.Car{Plate: f.text("plate"), Make: f.text("car_make"), Colour: f.text("car_colour"),
		Seats: f.whole("car_seats", "Give a whole number of seats."), Lot: f.text("car_lot")}
}
