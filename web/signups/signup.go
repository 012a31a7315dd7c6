package signups

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

func (s *Handlers) ShowSignUp(w http.ResponseWriter, r *http.Request) error {
	return s.renderSignUp(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderSignUp(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	if !t.Hike.TakesSignUps(s.Now()) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	return s.Render(w, r, status, view.Signup(s.signUpPage(r, t, a)))
}

func (s *Handlers) signUpPage(r *http.Request, t hike.Data, a ui.FormState) view.SignupPage {
	h, u := t.Hike, s.UnitsOf(r)
	version, _ := signup.RisksVersion()
	p := view.SignupPage{
		Page: s.Page(r, "Ask for a place", "Hikes"), Hike: h.Title + ", " + format.Day(h.Start, t.Zone()),
		Action: paths.Hike(h.ID) + "/sign-up", Submit: "Ask for a place", Facts: signUpFacts(t, u), Risks: signup.Risks(),
		Version: "Version " + version + ". We keep which version you agreed to, and when.",
	}
	if free := h.Places - t.Taken(t.Now); free <= 0 || t.Count(signup.Waiting) > 0 {
		p.Full = kit.PlacesNote(t) + " You would be put on the waiting list, in the order of asking."
	}
	askWho(&p, a, h)
	askWalking(&p, a, t, u)
	askHeat(&p, a)
	askCar(&p, a)
	p.Seal = s.formToken(r, h.ID, lastOf(a.Values["seal"]))
	return p
}

func askWho(p *view.SignupPage, a ui.FormState, h hike.Hike) {
	rules := h.Rules()
	p.Name = a.Bind(ui.Field{Name: "name", Label: "Your name", Hint: "As your family would say it.", Autocomplete: "name"})
	p.Email = a.Bind(ui.Field{Name: "email", Label: "Mail address", Hint: "Your place and your water come here. It is not shown to other walkers.", Kind: "email", Autocomplete: "email"})
	p.Mobile = a.Bind(ui.Field{Name: "mobile", Label: "Mobile you carry that day", Hint: "With its area code; start a foreign number with + and the country.", Kind: "tel", Autocomplete: "tel"})
	p.Contact = a.Bind(ui.Field{Name: "contact", Label: "Whom do we ring?", Hint: "Someone who stays at home that day, not one of this hike."})
	p.ContactTel = a.Bind(ui.Field{Name: "contact_tel", Label: "Their phone number", Hint: "Start a foreign number with + and the country.", Kind: "tel"})
	p.ContactMail = a.Bind(ui.Field{Name: "contact_email", Label: "Their mail address", Hint: "Three days before the hike we ask them there whether they can be reached. Without it a leader rings them.", Kind: "email", Optional: true})
	p.Age = a.Bind(ui.Field{Name: "age", Label: "How old are you on that day?", Hint: "The band is enough.", Options: []ui.Option{
		{Value: "adult", Label: fmt.Sprintf("%d to %d", rules.YoungestAlone, rules.TalkFrom-1)},
		{Value: "minor", Label: fmt.Sprintf("Under %d", rules.YoungestAlone), Note: "A parent or guardian agrees for you."},
		{Value: "older", Label: fmt.Sprintf("%d or over", rules.TalkFrom), Note: "Welcome. On strenuous hikes we ask for a like walk lately."}}})
	p.Guardian = a.Bind(ui.Field{Name: "guardian", Label: "Name of parent or guardian", Optional: true})
	p.Adult = a.Bind(ui.Field{Name: "adult", Label: "Adult on this hike who answers for the child", Optional: true,
		Hint: fmt.Sprintf("By name, as they signed up. One adult answers for %d children at most.", rules.MinorsPerAdult)})
	p.GuardianTel = a.Bind(ui.Field{Name: "guardian_tel", Label: "Their phone number", Optional: true, Kind: "tel"})
	p.Consent = askBox(a, ui.Field{Name: "consent", Label: "I am the parent or legal guardian. I have read the risks below, and I agree that the child comes.", Optional: true})
	p.Agree = askBox(a, ui.Field{Name: "agree", Label: "I have read these sentences, I understand them, and I come by my own decision."})
}

// askBox keeps a box as it was ticked.
func askBox(a ui.FormState, f ui.Field) ui.Field {
	f = a.Bind(f)
	f.Checked = len(a.Values[f.Name]) > 0
	return f
}

func yesNo(a ui.FormState, f ui.Field) ui.Field {
	f.Options = append([]ui.Option{{Value: "yes", Label: "Yes"}, {Value: "no", Label: "No"}}, f.Options...)
	return a.Bind(f)
}

func askWalking(p *view.SignupPage, a ui.FormState, t hike.Data, u format.System) {
	far, up := "km", "m"
	if u == format.US {
		far, up = "mi", "ft"
	}
	units := func(own string, all ...string) (list []ui.Option) {
		for _, x := range all {
			list = append(list, ui.Option{Value: x, Label: x, Selected: x == own})
		}
		return list
	}
	p.Walk = []ui.Field{
		a.Bind(ui.Field{Name: "walk_distance", Label: "How far was your longest walk lately?", Kind: "number", Short: true}),
		a.Bind(ui.Field{Name: "walk_unit", Label: "in", Kind: "select", Short: true, Options: units(far, "km", "mi")}),
		a.Bind(ui.Field{Name: "walk_climb", Label: "How much did it climb?", Hint: "0 for level ground.", Kind: "number", Short: true}),
		a.Bind(ui.Field{Name: "climb_unit", Label: "in", Kind: "select", Short: true, Options: units(up, "m", "ft")}),
		a.Bind(ui.Field{Name: "walk_hours", Label: "How long did it take?", Kind: "number", Unit: "hours", Short: true}),
		a.Bind(ui.Field{Name: "walk_ago", Label: "How long ago was it?", Kind: "number", Unit: "weeks", Short: true}),
	}
	p.Longest = a.Bind(ui.Field{Name: "longest", Label: "Where was it, and how did you feel after?"})
	p.Water = a.Bind(ui.Field{Name: "water", Label: "How much water can you carry?", Unit: "litres", Short: true, Step: "0.5"})
	if t.Plan != nil {
		p.Water.Hint = "This hike needs " + format.Volume(t.Plan.Water.Carry, format.Metric) + " of each person."
		if u == format.US {
			p.Water.Hint += " That is " + format.Volume(t.Plan.Water.Carry, format.US) + "."
		}
	}
	p.Shoes = a.Bind(ui.Field{Name: "shoes", Label: "What shoes do you walk in?", Hint: "Closed, with a tread. With others you are turned away."})
	p.Poles = askBox(a, ui.Field{Name: "poles", Label: "I bring walking poles.", Optional: true})
	p.Needs = a.Bind(ui.Field{Name: "needs", Label: "Anything the leader should do for you that day?", Hint: "What to do is enough: no diagnosis needed. It is kept sealed; those who lead this hike read it on the day, and your own page lets you write more or take it away.", Optional: true})
}

func askHeat(p *view.SignupPage, a ui.FormState) {
	p.HotDays = a.Bind(ui.Field{Name: "hot_days", Label: "On how many of the last 14 days did you walk or work in heat?", Unit: "days", Short: true, Min: "0", Max: "14"})
	p.Heat = []ui.Field{
		yesNo(a, ui.Field{Name: "hot_before", Label: "Have you walked in hot weather before?"}),
		yesNo(a, ui.Field{Name: "lives_here", Label: "Have you been in this climate for more than two weeks?"}),
		a.Bind(ui.Field{Name: "here", Label: "If not: for how many days?", Kind: "number", Unit: "days", Short: true, Optional: true}),
		a.Bind(ui.Field{Name: "from", Label: "and where did you come from?", Optional: true}),
		yesNo(a, ui.Field{Name: "heat_ill", Label: "Has heat ever made you ill?"}),
	}
	p.Health = yesNo(a, ui.Field{Name: "health", Label: "Is there anything about your health that heat or effort could touch?",
		Hint: "Heart, lungs, diabetes, pregnancy, a medicine. Do not write what it is: a yes means that the leader rings you."})
	p.Drive = a.Bind(ui.Field{Name: "drive", Label: "How long do you drive to the trailhead?", Unit: "minutes", Short: true, Optional: true, Hint: "So that no place is offered to you too late to come."})
}

func askCar(p *view.SignupPage, a ui.FormState) {
	car := carFields(a)
	p.Plate, p.CarMake, p.CarColour, p.CarSeats = car[0], car[1], car[2], car[3]
	p.RideShare, p.RideTown = shareFields(a)
}

func signUpFacts(t hike.Data, u format.System) []format.Line {
	line := kit.TrailLine(t.Trail, u)
	facts := []format.Line{
		{Label: "Meet", Value: format.Clock(t.Hike.Meet, t.Zone()), Note: t.Trail.Meeting},
		{Label: "Walk", Value: line.Length, Note: ascentNote(line)},
	}
	if t.Plan != nil {
		facts = append(facts,
			format.Line{Label: "On the trail", Value: format.DurationRange(t.Plan.Time.P50.Duration(), t.Plan.Time.P90.Duration())},
			format.Line{Label: "Water each", Value: format.Volume(t.Plan.Water.Carry, u)})
		if t.Plan.Verdict.Decision != plan.Go {
			facts = append(facts, format.Line{Label: "The plan says", Value: string(t.Plan.Verdict.Decision), Note: kit.DecisionWords(t.Hike)})
		}
	}
	return facts
}

func ascentNote(l ui.TrailLine) string {
	if l.Class == "" {
		return "ascent not known"
	}
	return l.Ascent + " of ascent; " + l.Class + ", its number is " + l.Number
}

// SignUp takes a request for a place. The answer is the person's private page, so that
// nobody depends on a mail arriving.
func (s *Handlers) SignUp(w http.ResponseWriter, r *http.Request) error {
	t, err := s.LoadHikeData(r.Context(), kit.HikeIn(r))
	if err != nil {
		return err
	}
	if !t.Hike.TakesSignUps(s.Now()) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	f := kit.NewForm(r)
	p := s.readSignUp(f, t.Hike.ID)
	share := readSharing(f, s.Now())
	invalid, err := f.Invalid(checkSignUp(&p, share, t))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err := s.checkFormToken(r, t.Hike.ID); err != nil {
		return s.signUpAgain(w, r, t, err)
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	p.Link = hash[:]
	p.Screening.Talk = signup.TalkFirst(p, t.Trail, t.Plan, t.Hike.Rules())
	version, text := signup.RisksVersion()
	if err := s.Hikes.KeepRisks(r.Context(), version, text, s.Now()); err != nil {
		return err
	}
	p.RiskVersion, p.RiskAccepted = version, s.Now()
	p, err = s.Hikes.SignUp(r.Context(), p, s.Now(), func(ctx context.Context, made []signup.SignUp) ([]message.Mail, error) {
		return s.notify.PlaceMails(ctx, t, s.notify.AskedLetter(t.Hike, made[0], secret))
	})
	if errors.Is(err, card.ErrNoKey) {
		err = fault.Invalid{"needs": card.ErrNoKey.Error()}
	}
	var taken fault.Invalid // another request was first, between the check and the lock
	if errors.As(err, &taken) {
		return s.renderSignUp(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, taken))
	}
	if err != nil {
		return err
	}
	s.keepSharing(r.Context(), p, share)
	s.notify.NotifyRides(r.Context(), t.Hike.ID)
	return s.SeeOther(w, r, paths.Place(secret), "Keep the address of this page: it opens your place. It was sent to you by mail too.")
}

// checkSignUp checks the form, then holds it against the hike.
func checkSignUp(p *signup.SignUp, share ride.Sharing, t hike.Data) error {
	err := p.Check(signup.RegionOf(t.Trail.Zone))
	v, invalid := err.(fault.Invalid)
	if err != nil && !invalid {
		return err
	}
	if !invalid {
		v = fault.Invalid{}
	}
	for _, err := range []error{hike.AssignAdult(p, t.Hike, t.SignUps), ride.CheckRide(p.Car, share)} {
		wrong, _ := err.(fault.Invalid)
		for field, message := range wrong {
			v.Add(field, message)
		}
	}
	return v.Err()
}

func (s *Handlers) readSignUp(f kit.Form, id ref.Hike) signup.SignUp {
	p := signup.SignUp{
		ID: uuid.NewString(), Hike: id, Asked: s.Now(),
		Name: f.Text("name"), Email: f.Text("email"), Mobile: f.Text("mobile"),
		EmergencyName: f.Text("contact"), EmergencyPhone: f.Text("contact_tel"), ContactEmail: f.Text("contact_email"), LongestWalk: f.Paragraph("longest"),
		HotDays:    f.Whole("hot_days", "Give a whole number of days, 0 to 14."),
		Water:      unit.Volume(f.Number("water", "Give litres, such as 4 or 4.5.")),
		SelfReport: readSelfReport(f),
		Minor:      f.Text("age") == "minor", Guardian: f.Text("guardian"), GuardianPhone: f.Text("guardian_tel"),
		Adult: f.Text("adult"), Car: readCar(f),
		Needs: f.Paragraph("needs"), Acknowledged: f.Checked("agree"),
	}
	if f.Checked("consent") {
		p.Consented = s.Now()
	}
	if age := f.Text("age"); age != "adult" && age != "minor" && age != "older" {
		f.Faults.Add("age", "Say which it is: the band is enough.")
	}
	return p
}

// readSelfReport reads what a person tells of themselves.
func readSelfReport(f kit.Form) signup.SelfReport {
	t := signup.SelfReport{
		Walk: signup.Outing{
			Distance: f.Length("walk_distance", "walk_unit", "Give how far it was, such as 8; 0 where there was none."),
			Ascent:   f.Length("walk_climb", "climb_unit", "Give how much it climbed, such as 200; 0 for level ground."),
			Took:     time.Duration(f.Number("walk_hours", "Give how many hours it took, such as 2.5.") * float64(time.Hour)),
		},
		WalkAgo:   int(7 * f.Number("walk_ago", "Give how many weeks ago it was; 0 for this week.")),
		HotBefore: readYes(f, "hot_before"), LivesHere: readYes(f, "lives_here"), HeatIll: readYes(f, "heat_ill"), Health: readYes(f, "health"),
		Older: f.Text("age") == "older", Shoes: f.Text("shoes"), Poles: f.Checked("poles"),
		From: f.Text("from"), Here: f.Whole("here", "Give a whole number of days."),
		Drive: time.Duration(f.Whole("drive", "Give whole minutes.")) * time.Minute,
	}
	if !t.LivesHere && f.Text("lives_here") == "no" && f.Text("here") == "" {
		f.Faults.Add("here", "Give for how many days you have been here; 0 if you are still to come.")
	}
	return t
}

// readYes reads a question that has to be answered.
func readYes(f kit.Form, name string) bool {
	answer := f.Text(name)
	if answer != "yes" && answer != "no" {
		f.Faults.Add(name, "Say yes or no.")
	}
	return answer == "yes"
}

// Withdraw gives a place back, and with an adult's the places of the children they answer
// for: the page says so before.
func (s *Handlers) Withdraw(w http.ResponseWriter, r *http.Request) error {
	if err := s.withdrawCharges(r); err != nil {
		return err
	}
	return s.changePlace(w, r, (*signup.SignUp).Withdraw, "Your place is given back. Thank you for telling us.")
}

func (s *Handlers) withdrawCharges(r *http.Request) error {
	p := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	all, err := s.Hikes.SignUps(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	for _, child := range signup.Charges(p, all, h.Staff) {
		_, err := s.Hikes.ChangeSignUp(r.Context(), child.ID, s.Now(), (*signup.SignUp).Withdraw,
			s.notify.ChangedMails(h, notify.ActedLetter(child.State, "")))
		if err != nil {
			return err
		}
		s.notify.NotifyRides(r.Context(), h.ID)
	}
	return nil
}

// AskAgain undoes a withdrawal as far as it can be undone: the person queues anew, and
// is confirmed at once where a place is free.
func (s *Handlers) AskAgain(w http.ResponseWriter, r *http.Request) error {
	return s.changePlace(w, r, (*signup.SignUp).AskAgain, "You are back on the list.")
}

func (s *Handlers) changePlace(w http.ResponseWriter, r *http.Request, change func(*signup.SignUp) error, said string) error {
	p := kit.PlaceIn(r)
	h, err := s.Hikes.Hike(r.Context(), p.Hike)
	if err != nil {
		return err
	}
	own := notify.ActedLetter(p.State, s.BaseURL+"/place/"+kit.SecretIn(r))
	if _, err := s.Hikes.ChangeSignUp(r.Context(), p.ID, s.Now(), change, s.notify.ChangedMails(h, own)); err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), h.ID)
	return s.SeeOther(w, r, "/place/"+kit.SecretIn(r), said)
}

// readCar reads what a person comes in.
func readCar(f kit.Form) signup.Car {
	return signup.Car{Plate: f.Text("plate"), Make: f.Text("car_make"), Colour: f.Text("car_colour"),
		Seats: f.Whole("car_seats", "Give a whole number of seats."), Lot: f.Text("car_lot")}
}

func lastOf(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[len(values)-1]
}
