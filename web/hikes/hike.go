package hikes

import (
	"errors"
	"net/http"
	"strconv"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowNew shows the form for a new hike.
func (s *Handlers) ShowNew(w http.ResponseWriter, r *http.Request) error {
	return s.renderHikeForm(w, r, http.StatusOK, nil,
		ui.FormState{Values: map[string][]string{"trail": {r.FormValue("trail")}}})
}

// renderHikeForm shows the form for a new hike, or for the given one.
func (s *Handlers) renderHikeForm(w http.ResponseWriter, r *http.Request, status int, of *hike.Hike,
	a ui.FormState) error {
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return err
	}
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return err
	}
	return s.Render(w, r, status, view.HikeForm(s.hikeFormPage(r, of, trails, people, a)))
}

// Add stores a new hike as a draft.
func (s *Handlers) Add(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	h := hike.Hike{State: hike.Draft, Created: s.Now()}
	invalid, err := s.readHike(r, f, &h)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderHikeForm(w, r, http.StatusUnprocessableEntity, nil, kit.FormStateOf(r, invalid))
	}
	team.AcceptFor(h.Staff, idOf(r), s.Now())
	id, err := s.Hikes.AddHike(r.Context(), h)
	if err != nil {
		return err
	}
	s.notify.AskStaff(r.Context(), kit.NameOf(r), hike.Hike{}, id)
	return s.SeeOther(w, r, paths.Manage(id),
		"The draft is kept. Type the day's forecast to get a plan, then post it."+s.schedulingWarnings(r, id))
}

// readHike reads the form into the hike and checks it.
func (s *Handlers) readHike(r *http.Request, f kit.Form, h *hike.Hike) (fault.Invalid, error) {
	t, err := s.chosenTrail(r, f)
	if err != nil {
		return nil, err
	}
	people, err := s.staffChoices(r, h.Staff)
	if err != nil {
		return nil, err
	}
	before := *h
	h.Trail, h.Staff = t.ID, nil
	HikeForm(HikeFormFor{Zone: t.Location(), Staff: people}).Read(f, h)
	if h.Title, err = s.titleOf(r, before, h.Title, t); err != nil {
		return nil, err
	}
	if err := s.addressContacts(r, h); err != nil {
		return nil, err
	}
	return f.Invalid(h.Validate())
}

// titleOf returns the title of a hike on a trail. A title that names the old trail is changed to
// name the new one.
func (s *Handlers) titleOf(r *http.Request, before hike.Hike, typed string, t trail.Trail) (string, error) {
	title := trail.TitleFor(typed, t)
	if title != before.Title || before.Trail == 0 || before.Trail == t.ID {
		return title, nil
	}
	from, err := s.Hikes.Trail(r.Context(), before.Trail)
	return trail.TitleAfter(title, from, t), err
}

// addressContacts gives those on call the address of their account where the form has none. Without
// an address nobody could ask them.
func (s *Handlers) addressContacts(r *http.Request, h *hike.Hike) error {
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return err
	}
	for _, c := range []*team.Contact{&h.OnCall, &h.Deputy} {
		var theirs []string
		for _, a := range people {
			if a.Active && c.Name != "" && kit.IsContact(a, *c) {
				theirs = append(theirs, a.Email)
			}
		}
		if c.Email == "" && len(theirs) == 1 && account.CheckEmail(theirs[0]) == nil {
			c.Email = theirs[0]
		}
	}
	return nil
}

// chosenTrail returns the trail of the form. Without one it adds a fault.
func (s *Handlers) chosenTrail(r *http.Request, f kit.Form) (trail.Trail, error) {
	id, _ := strconv.ParseInt(f.Text("trail"), 10, 64)
	t, err := s.Hikes.Trail(r.Context(), ref.Trail(id))
	if errors.Is(err, fault.ErrNotFound) {
		f.Faults.Add("trail", "Choose a trail.")
		return trail.Trail{Zone: "UTC"}, nil
	}
	return t, err
}

// staffChoices returns who may be chosen for the staff, by the value of their option. Those who
// were on the staff before keep their ID on the roll.
func (s *Handlers) staffChoices(r *http.Request, before []team.Staff) (map[string]team.Staff, error) {
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return nil, err
	}
	person := map[ref.Account]string{}
	for _, m := range before {
		person[m.Account] = m.Person
	}
	choices := map[string]team.Staff{}
	for _, a := range people {
		if person[a.ID] == "" {
			person[a.ID] = uuid.NewString()
		}
		choices[a.ID.String()] = team.Staff{Person: person[a.ID], Account: a.ID, Name: a.Name, Phone: a.Phone}
	}
	return choices, nil
}

// ShowEdit shows the form with what is stored.
func (s *Handlers) ShowEdit(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	return s.renderHikeForm(w, r, http.StatusOK, &h, ui.FormState{})
}

// Edit changes a hike, computes its plan anew, and tells those whom it concerns.
func (s *Handlers) Edit(w http.ResponseWriter, r *http.Request) error {
	before := kit.HikeIn(r)
	f := kit.NewForm(r)
	after := before
	invalid, err := s.readHike(r, f, &after)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderHikeForm(w, r, http.StatusUnprocessableEntity, &before, kit.FormStateOf(r, invalid))
	}
	tellChanged := s.notify.NotifyOnChange(r.Context(), before.ID)
	err = s.Hikes.ChangeHike(r.Context(), before.ID, func(h *hike.Hike) error {
		err := h.Reschedule(after)
		team.AcceptFor(h.Staff, idOf(r), s.Now())
		return err
	})
	if err != nil {
		return err
	}
	s.notify.AskStaff(r.Context(), kit.NameOf(r), before, before.ID)
	said := "The hike is changed."
	if err := s.replan(r, before.ID); err == nil {
		said += " The plan is computed anew."
	}
	tellChanged()
	return s.SeeOther(w, r, paths.Manage(before.ID), said+s.schedulingWarnings(r, before.ID))
}

// replan computes and stores a new plan from the stored forecast.
func (s *Handlers) replan(r *http.Request, id ref.Hike) error {
	h, err := s.Hikes.Hike(r.Context(), id)
	if err != nil {
		return err
	}
	t, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return err
	}
	p, err := hike.PlanFor(h, t, kit.NameOf(r), s.Now())
	if err != nil {
		return err
	}
	return s.Hikes.SavePlan(r.Context(), p)
}

func idOf(r *http.Request) ref.Account {
	a, _ := kit.ViewerOf(r).Account()
	return a.ID
}

// Show shows the page on which staff manage a hike.
func (s *Handlers) Show(w http.ResponseWriter, r *http.Request) error {
	return s.renderHike(w, r, http.StatusOK, kit.HikeIn(r), ui.FormState{})
}

// Post makes a draft public.
func (s *Handlers) Post(w http.ResponseWriter, r *http.Request) error {
	ground, err := s.Ground.Ground(r.Context(), kit.HikeIn(r).Trail)
	if err != nil {
		return err
	}
	post := func(h *hike.Hike) error { return h.PostOn(ground) }
	return s.changeHike(w, r, s.withStaffRule(r, staffing.Crew.MayPost, post),
		"The hike is posted: the public can see it and sign up."+s.missingText(r, ground))
}

// OverrideOnCall keeps why the hike goes although no alarm can reach anybody on call.
func (s *Handlers) OverrideOnCall(w http.ResponseWriter, r *http.Request) error {
	o := hike.Override{Reason: kit.NewForm(r).Text("reason"), By: kit.NameOf(r), At: s.Now()}
	return s.changeHike(w, r, func(h *hike.Hike) error { return h.OverrideOnCall(o) },
		"Saved with your name. Everybody who leads or watches this hike sees it.")
}

// changeHike applies a rule of the domain, or shows what is wrong beside the form.
func (s *Handlers) changeHike(w http.ResponseWriter, r *http.Request, change func(*hike.Hike) error,
	said string) error {
	h := kit.HikeIn(r)
	err := s.Hikes.ChangeHike(r.Context(), h.ID, change)
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Manage(h.ID), said)
}

// Close closes a hike whose people are all accounted for.
func (s *Handlers) Close(w http.ResponseWriter, r *http.Request) error {
	rec, err := s.Rolls.Record(r.Context(), kit.HikeIn(r).ID)
	if err != nil {
		return err
	}
	accounted := rec.State().CanClose()
	err = s.changeHike(w, r, func(h *hike.Hike) error {
		if accounted != nil {
			return h.Close(fault.Invalid{"close": accounted.Error()})
		}
		return h.Close(nil)
	}, "The hike is closed: everybody is accounted for.")
	if err == nil && accounted == nil {
		err = s.noteNoShows(r.Context(), rec)
	}
	return errors.Join(err, s.endDayLinks(r, rec.Hike.ID))
}

// TurnAway refuses a person's request with a reason.
func (s *Handlers) TurnAway(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	reason := kit.NewForm(r).Text("reason")
	_, err := s.Hikes.ChangeSignUp(r.Context(), kit.PersonIn(r), s.Now(), func(p *signup.SignUp) error {
		return p.TurnAway(h.ID, reason)
	}, s.notify.ChangedMails(h, notify.OutcomeLetter))
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), h.ID)
	return s.SeeOther(w, r, paths.Manage(h.ID),
		"Turned away, and the place is free again. The reason went to the person by mail and stands on their own "+
			"page; tell them yourself too, kindly.")
}
