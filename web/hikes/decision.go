package hikes

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
	"saltbush/web/kit"
)

// Decide stores the decision that the hike goes, in one of its ways, and tells everybody.
func (s *Handlers) Decide(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	c, err := s.choice(r, kit.HikeIn(r), f)
	if err != nil {
		return err
	}
	rule := s.withStaffRule(r, staffing.Crew.MayGo, func(h *hike.Hike) error { return h.Choose(c) })
	return s.announce(w, r, &c, rule, f)
}

// CallOff stores that the hike does not go, and tells everybody.
func (s *Handlers) CallOff(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	on, err := s.figures(r, kit.HikeIn(r).ID)
	if err != nil {
		return err
	}
	c := hike.Choice{Outcome: hike.DoesNotGo, By: kit.NameOf(r), At: s.Now(), Reason: f.Text("reason"), On: on}
	return s.announce(w, r, &c, func(h *hike.Hike) error { return h.Choose(c) }, f)
}

// announce stores the decision with its plan and everybody's letters, or shows what is wrong.
func (s *Handlers) announce(w http.ResponseWriter, r *http.Request, c *hike.Choice, choose func(*hike.Hike) error,
	f kit.Form) error {
	h := kit.HikeIn(r)
	told := 0
	hears, err := s.announcementContext(r)
	if err != nil {
		return err
	}
	if len(f.Faults) > 0 {
		err = f.Faults
	} else {
		err = s.Announcements.ChangeAndAnnounce(r.Context(), h.ID, s.Now(),
			func(h *hike.Hike, places []signup.SignUp) (hike.Announcing, []message.Mail, error) {
				before, after, err := s.decided(r, h, places, c, choose)
				if err != nil {
					return hike.Announcing{}, nil, err
				}
				news, letters, err := s.notify.Announce(r.Context(), before, after, hears)
				if told = len(news.To); after.Plan != nil && after.Stored.ID == 0 {
					news.Plan = &after.Stored
				}
				return news, letters, err
			})
	}
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Manage(h.ID)+"#decision",
		decidedWords(c.Outcome)+" "+format.Count(told, "person is", "people are")+
			" told, each with a link to say that they have read it.")
}

// decided makes the decision and returns the hike's data before and after it. If the walk
// changes, the choice is based on the plan of the changed walk.
func (s *Handlers) decided(r *http.Request, h *hike.Hike, places []signup.SignUp, c *hike.Choice,
	choose func(*hike.Hike) error) (before, after hike.Data, err error) {
	if before, err = s.LoadHikeData(r.Context(), *h); err != nil {
		return before, after, err
	}
	before.SignUps = places
	next, err := h.As(*c)
	if err != nil {
		return before, after, err
	}
	if next.WalksLike(*h) {
		err = choose(h)
		after = before
		after.Hike = *h
		return before, after, err
	}
	on, err := s.Hikes.Trail(r.Context(), next.Trail)
	if err != nil {
		return before, after, err
	}
	p, err := s.planOf(r, next, on, c)
	if err != nil {
		return before, after, err
	}
	if err = choose(h); err != nil {
		return before, after, err
	}
	h.Changed = hike.NewChange(h.Decision, before)
	return before, watch.Replanned(before, *h, on, p), nil
}

func decidedWords(o hike.Outcome) string {
	if o == hike.DoesNotGo {
		return "The hike is called off."
	}
	return "It goes. The decision is kept with your name, the time and the plan that it was taken on."
}

// figures returns what a decision is based on: the newest plan and the official warnings.
func (s *Handlers) figures(r *http.Request, id ref.Hike) (hike.Figures, error) {
	p, err := s.Hikes.LatestPlan(r.Context(), id)
	if errors.Is(err, fault.ErrNotFound) {
		return hike.Figures{}, nil
	}
	return hike.Figures{Plan: p.ID, Verdict: p.Plan.Verdict.Decision, Official: p.Inputs.Forecast.Official.Said()}, err
}

// choice reads the form.
func (s *Handlers) choice(r *http.Request, h hike.Hike, f kit.Form) (hike.Choice, error) {
	on, err := s.figures(r, h.ID)
	if err != nil {
		return hike.Choice{}, err
	}
	c := hike.Choice{Outcome: hike.Outcome(f.Text("outcome")), By: kit.NameOf(r), At: s.Now(), Reason: f.Text("reason"),
		On: on}
	switch c.Outcome {
	case "":
		c.Outcome = hike.Goes
	case hike.GoesShorter:
		c.Turn, err = s.chosenTurn(r, h, f)
	case hike.GoesEarlier, hike.GoesLater:
		f.Values.Set("date", h.Start.Format("2006-01-02"))
		c.Start = f.Moment("date", "start", h.Start.Location())
	case hike.OtherTrail:
		return s.otherTrail(r, h, f, c)
	}
	return c, err
}

// chosenTurn returns the place of the form where the hike turns back. A distance counts before
// a name.
func (s *Handlers) chosenTurn(r *http.Request, h hike.Hike, f kit.Form) (hike.Turn, error) {
	t, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return hike.Turn{}, err
	}
	var along unit.Length
	if f.Text("turn_distance") != "" {
		along = f.Length("turn_distance", "turn_unit", "Give the distance from the start, such as 1.5.")
	}
	turn, err := hike.TurnOn(t, f.Text("turn"), along)
	_, err = f.Invalid(err)
	return turn, err
}

func (s *Handlers) otherTrail(r *http.Request, h hike.Hike, f kit.Form, c hike.Choice) (hike.Choice, error) {
	to, err := s.chosenTrail(r, f)
	if err != nil || to.ID == 0 {
		return c, err
	}
	from, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return c, err
	}
	ground, err := s.Ground.Ground(r.Context(), to.ID)
	if err != nil {
		return c, err
	}
	c.Trail = hike.Swap{From: from, To: to, Harder: to.HarderThan(from), Closed: ground.Closed(unit.DateOf(h.Start))}
	if c.Trail.Harder {
		c.Trail.Leader, err = s.leaderUnfit(r.Context(), h, to)
	}
	return c, err
}

// leaderUnfit says why the leader may not lead a hike of the trail's class.
func (s *Handlers) leaderUnfit(ctx context.Context, h hike.Hike, to trail.Trail) ([]string, error) {
	leader, named := h.StaffOf(team.Leader)
	if !named {
		return []string{"is not named"}, nil
	}
	q, err := s.Staff.Qualification(ctx, leader.Account)
	if err != nil {
		return nil, err
	}
	kinds, err := s.Staff.CertificateKinds(ctx)
	if err != nil {
		return nil, err
	}
	fit := q.Fit(team.Asking{Day: unit.DateOf(h.Start), Role: team.Leader, Class: to.Rating().Class}, kinds)
	return fit.Why(), nil
}

// planOf computes the plan of a changed hike and bases the choice on it. Without a forecast there
// is none.
func (s *Handlers) planOf(r *http.Request, h hike.Hike, on trail.Trail, c *hike.Choice) (*hike.StoredPlan, error) {
	c.On.Plan, c.On.Verdict = 0, ""
	if h.Forecast == nil {
		return nil, nil
	}
	p, err := hike.PlanFor(h, on, kit.NameOf(r), s.Now())
	if err != nil {
		return nil, err
	}
	c.On.Verdict = p.Plan.Verdict.Decision
	return &p, nil
}

// numberOf writes an ID for a form.
func numberOf[N ~int64](n N) string { return strconv.FormatInt(int64(n), 10) }
