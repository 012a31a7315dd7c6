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
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// Decide stores the decision that the hike goes, in one of its ways, and tells everybody.
func (s *Handlers) Decide(w http.ResponseWriter, r *http.Request) error {
	h, f := kit.HikeIn(r), kit.NewForm(r)
	c, p, err := s.choice(r, h, f)
	if err != nil {
		return err
	}
	return s.announce(w, r, c, s.withStaffRule(r, staffing.Crew.MayGo, func(h *hike.Hike) error { return h.Choose(c) }),
		p, f)
}

// CallOff stores that the hike does not go, and tells everybody.
func (s *Handlers) CallOff(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	on, _, err := s.figures(r, kit.HikeIn(r).ID)
	if err != nil {
		return err
	}
	c := hike.Choice{Outcome: hike.DoesNotGo, By: kit.NameOf(r), At: s.Now(), Reason: f.Text("reason"), On: on}
	return s.announce(w, r, c, func(h *hike.Hike) error { return h.Choose(c) }, nil, f)
}

// announce stores the decision with everybody's letters, or shows what is wrong.
func (s *Handlers) announce(w http.ResponseWriter, r *http.Request, c hike.Choice, choose func(*hike.Hike) error,
	p *hike.StoredPlan, f kit.Form) error {
	h := kit.HikeIn(r)
	told := 0
	hears, err := s.announcementContext(r, h)
	if err != nil {
		return err
	}
	if len(f.Faults) > 0 {
		err = f.Faults
	} else {
		err = s.Announcements.ChangeAndAnnounce(r.Context(), h.ID, s.Now(),
			func(h *hike.Hike, places []signup.SignUp) (hike.Announcing, []message.Mail, error) {
				hears.Before.Meet = h.Meet
				if err := choose(h); err != nil {
					return hike.Announcing{}, nil, err
				}
				after, err := s.dataAfter(r.Context(), *h, c, p, places)
				if err != nil {
					return hike.Announcing{}, nil, err
				}
				news, letters,
					err := s.notify.Announce(r.Context(), after, c.Outcome == hike.OtherTrail && c.Trail.Harder, hears)
				news.Plan, told = p, len(news.To)
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

// dataAfter returns the data for letters about a decision that is not stored yet.
func (s *Handlers) dataAfter(ctx context.Context, h hike.Hike, c hike.Choice, p *hike.StoredPlan,
	places []signup.SignUp) (hike.Data, error) {
	t, err := s.LoadHikeData(ctx, h)
	if err != nil {
		return t, err
	}
	t.SignUps = places
	if c.Outcome == hike.OtherTrail {
		t.Trail, t.Plan = c.Trail.To, nil
	}
	if p != nil {
		t.Plan = &p.Plan
	}
	return t, nil
}

func decidedWords(o hike.Outcome) string {
	if o == hike.DoesNotGo {
		return "The hike is called off."
	}
	return "It goes. The decision is kept with your name, the time and the plan that it was taken on."
}

// figures returns what a decision is based on: the newest plan and the official warnings.
func (s *Handlers) figures(r *http.Request, id ref.Hike) (hike.Figures, *plan.Plan, error) {
	p, err := s.Hikes.LatestPlan(r.Context(), id)
	if errors.Is(err, fault.ErrNotFound) {
		return hike.Figures{}, nil, nil
	}
	return hike.Figures{Plan: p.ID, Verdict: p.Plan.Verdict.Decision, Official: p.Inputs.Forecast.Official.Said()},
		&p.Plan, err
}

// choice reads the form. Where the hike would go at another time or on another trail, it computes
// the plan for that and bases the decision on it.
func (s *Handlers) choice(r *http.Request, h hike.Hike, f kit.Form) (hike.Choice, *hike.StoredPlan, error) {
	on, latest, err := s.figures(r, h.ID)
	if err != nil {
		return hike.Choice{}, nil, err
	}
	c := hike.Choice{Outcome: hike.Outcome(f.Text("outcome")), By: kit.NameOf(r), At: s.Now(), Reason: f.Text("reason"),
		On: on}
	switch c.Outcome {
	case "":
		c.Outcome = hike.Goes
	case hike.GoesShorter:
		c.Turn = f.Text("turn")
		if latest != nil && latest.Short != nil && latest.Short.Passes {
			c.On.Verdict = plan.Go
		}
	case hike.GoesEarlier:
		f.Values.Set("date", h.Start.Format("2006-01-02"))
		c.Start = f.Moment("date", "start", h.Start.Location())
		moved := h
		moved.Start = c.Start
		p, err := s.planOf(r, moved, h.Trail, &c)
		return c, p, err
	case hike.OtherTrail:
		return s.otherTrail(r, h, f, c)
	}
	return c, nil, nil
}

func (s *Handlers) otherTrail(r *http.Request, h hike.Hike, f kit.Form, c hike.Choice) (hike.Choice, *hike.StoredPlan,
	error) {
	to, err := s.chosenTrail(r, f)
	if err != nil || to.ID == 0 {
		return c, nil, err
	}
	from, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return c, nil, err
	}
	ground, err := s.Ground.Ground(r.Context(), to.ID)
	if err != nil {
		return c, nil, err
	}
	c.Trail = hike.Swap{From: from, To: to, Harder: to.HarderThan(from), Closed: ground.Closed(unit.DateOf(h.Start))}
	if c.Trail.Harder {
		if c.Trail.Leader, err = s.leaderUnfit(r.Context(), h, to); err != nil {
			return c, nil, err
		}
	}
	moved := h
	moved.Trail = to.ID
	p, err := s.planOf(r, moved, to.ID, &c)
	return c, p, err
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

// planOf computes the plan of a changed hike and bases the choice on it.
func (s *Handlers) planOf(r *http.Request, h hike.Hike, on ref.Trail, c *hike.Choice) (*hike.StoredPlan, error) {
	c.On.Plan, c.On.Verdict = 0, ""
	if h.Forecast == nil || h.Start.IsZero() {
		return nil, nil
	}
	t, err := s.Hikes.Trail(r.Context(), on)
	if err != nil {
		return nil, err
	}
	p, err := hike.PlanFor(h, t, kit.NameOf(r), s.Now())
	if err != nil {
		return nil, err
	}
	c.On.Verdict = p.Plan.Verdict.Decision
	return &p, nil
}

// numberOf writes an ID for a form.
func numberOf[N ~int64](n N) string { return strconv.FormatInt(int64(n), 10) }
