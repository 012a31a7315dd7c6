package web

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/web/view"
)

func screeningPath(id hike.HikeID) string { return hikePath(id) + "/screening" }

// showScreening lists everybody with a talk before them or behind them.
func (s *Server) showScreening(w http.ResponseWriter, r *http.Request) error {
	return s.renderScreening(w, r, http.StatusOK, view.Answers{})
}

func (s *Server) renderScreening(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	t, err := s.tellTalks(r)
	if err != nil {
		return err
	}
	p := view.ScreeningPage{Page: s.page(r, "Talks first", "Desk"), Hike: t.hike.Title, When: view.Day(t.hike.Start, t.zone()),
		BackURL: managePath(t.hike.ID)}
	for _, x := range t.signUps {
		if x.State == hike.Withdrawn {
			continue
		}
		row := s.screeningRow(r, t, x, a)
		if x.Screening.Open() {
			p.Open = append(p.Open, row)
			continue
		}
		p.Others = append(p.Others, row)
	}
	return s.render(w, r, status, view.Screening(p))
}

// tellTalks loads a hike for the talks before it: only for those who may read them.
func (s *Server) tellTalks(r *http.Request) (told, error) {
	h := hikeIn(r)
	if !s.staffSight(r, h).Sees(hike.KindScreening) {
		return told{}, fmt.Errorf("read the talks of hike %d: %w", h.ID, account.ErrNotAllowed)
	}
	return s.tell(r.Context(), h)
}

func (s *Server) screeningRow(r *http.Request, t told, x hike.SignUp, a view.Answers) view.ScreeningRow {
	u, at := s.unitsOf(r), screeningPath(t.hike.ID)+"/"+x.ID
	if r.URL.Path != at {
		a = view.Answers{}
	}
	sight := s.staffSight(r, t.hike)
	row := view.ScreeningRow{
		ID: x.ID, Name: x.Name, State: view.StampOf(string(x.State)), Talk: x.Screening.Talk, Readiness: readinessOf(x, t),
		Told: toldLines(x, t, u, sight), SheetURL: at + "/sheet", URL: at, Because: x.Because, Answered: x.Screening.Answer,
		Warn: hike.Unfit(x, t.signUps, t.hike.Staff), Held: held(t.hike, x), Fields: screeningFields(x, a),
	}
	if x.Screening.Outcome != "" {
		row.Outcome = view.StampOf(string(x.Screening.Outcome))
		row.OutcomeBy = x.Screening.By + ", " + view.Moment(x.Screening.At, t.zone())
	}
	if alone := hike.AloneWithChild(x, t.signUps); alone != "" {
		row.Warn = append(row.Warn, alone)
	}
	if sight.Sees(hike.KindContact) || x.Screening.Open() && sight.Rings() {
		row.Mobile = x.Mobile
	}
	if x.ContactConfirmed.IsZero() && x.State != hike.TurnedAway && sight.Sees(hike.KindContact) {
		row.ReachedURL = at + "/reached"
		row.Contact = x.EmergencyName + ", " + x.EmergencyPhone + ": " + contactNote(x, t)
	}
	row.Suggested = s.suggestions(r.Context(), x, u)
	return row
}

// readinessOf is what to raise with a person, in words: no verdict and nothing medical.
func readinessOf(x hike.SignUp, t told) view.ReadinessText {
	if t.plan == nil {
		return view.ReadinessText{Ask: []string{"There is no plan yet, so the heat of the day is not known. Ask what they know of heat."}}
	}
	ready := hike.ReadinessOf(x, *t.plan)
	return view.ReadinessText{Talk: ready.Talk, Ask: ready.Ask}
}

func toldLines(x hike.SignUp, t told, u view.System, sight hike.Sight) []view.Line {
	yes := func(b bool) string {
		if b {
			return "yes"
		}
		return "no"
	}
	here := "lives here"
	if !x.Told.LivesHere {
		here = "for " + view.Count(x.Told.Here, "day", "days") + ", from " + orElse(x.Told.From, "a place not named")
	}
	lines := []view.Line{
		{Label: "Longest walk lately", Value: x.WalkWords(u != view.US)},
		{Label: "In this climate", Value: here, Note: view.Count(x.HotDays, "day", "days") + " of the last 14 active in heat"},
		{Label: "Walked in heat before", Value: yes(x.Told.HotBefore), Note: "ill from heat: " + yes(x.Told.HeatIll)},
		{Label: "Health to talk over", Value: yes(x.Told.Health)},
		{Label: "Brings", Value: view.Volume(x.Water, u) + " of water; " + orElse(x.Told.Shoes, "shoes not named"), Note: "poles: " + yes(x.Told.Poles)},
	}
	if x.Minor {
		line := view.Line{Label: "Under age", Value: "yes", Note: "with " + orElse(x.Adult, "nobody named")}
		if sight.Sees(hike.KindContact) {
			line.Value = "guardian " + x.Guardian + ", " + x.GuardianPhone
		}
		lines = append(lines, line)
	}
	accepted := "not yet"
	if !x.RiskAccepted.IsZero() {
		accepted = "version " + x.RiskVersion + ", " + view.Moment(x.RiskAccepted, t.zone())
	} else if x.Acknowledged {
		accepted = "yes, before versions were kept"
	}
	return append(lines, view.Line{Label: "Risks accepted", Value: accepted})
}

func screeningFields(x hike.SignUp, a view.Answers) []view.Field {
	var outcomes, criteria []view.Option
	for _, o := range hike.TalkOutcomes() {
		outcomes = append(outcomes, view.Option{Value: string(o), Label: string(o), Selected: o == x.Screening.Outcome})
	}
	criteria = append(criteria, view.Option{Label: "none"})
	for _, c := range hike.Criteria() {
		criteria = append(criteria, view.Option{Value: c, Label: c, Selected: c == x.Screening.Criterion})
	}
	return []view.Field{
		a.Asked(view.Field{Name: "outcome", ID: "outcome-" + x.ID, Label: "What the talk came to", Options: outcomes}),
		a.Asked(view.Field{Name: "criterion", ID: "criterion-" + x.ID, Label: "Criterion, the same for all", Kind: "select", Options: criteria, Optional: true}),
		a.Asked(view.Field{Name: "reason", ID: "reason-" + x.ID, Label: "In neutral words", Hint: "The person reads it. Needed where you suggest another hike or decline.", Value: x.Screening.Reason, Optional: true}),
	}
}

// screen records what a talk came to.
func (s *Server) screen(w http.ResponseWriter, r *http.Request) error {
	h, f := hikeIn(r), newForm(r)
	if _, err := s.tellTalks(r); err != nil {
		return err
	}
	to := hike.Screening{Outcome: hike.TalkOutcome(f.text("outcome")), Reason: f.text("reason"), Criterion: f.text("criterion"), By: nameOf(r)}
	_, err := s.Hikes.ChangeSignUp(r.Context(), personIn(r), s.Now(), func(p *hike.SignUp) error {
		if p.Hike != h.ID {
			return fmt.Errorf("sign-up %s on hike %d: %w", p.ID, h.ID, hike.ErrNotFound)
		}
		return p.Screen(to, s.Now())
	}, s.changedMails(h, outcomeLetter))
	var wrong hike.Invalid
	if errors.As(err, &wrong) {
		return s.renderScreening(w, r, http.StatusUnprocessableEntity, answers(r, wrong))
	}
	if err != nil {
		return err
	}
	s.tellCars(r.Context(), h.ID)
	return s.seeOther(w, r, screeningPath(h.ID), "Kept. It stands on the person's own page, and a mail goes out.")
}

// noteReached keeps that a leader spoke with the emergency contact.
func (s *Server) noteReached(w http.ResponseWriter, r *http.Request) error {
	h, now := hikeIn(r), s.Now()
	_, err := s.Hikes.ChangeSignUp(r.Context(), personIn(r), now, func(p *hike.SignUp) error {
		if p.Hike != h.ID {
			return fmt.Errorf("sign-up %s on hike %d: %w", p.ID, h.ID, hike.ErrNotFound)
		}
		p.ContactConfirmed = now
		return nil
	}, s.changedMails(h, noLetter))
	if err != nil {
		return err
	}
	return s.seeOther(w, r, screeningPath(h.ID), "Noted: the contact can be reached.")
}

// showSheet is the paper for one talk: open questions, with room for notes.
func (s *Server) showSheet(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tellTalks(r)
	if err != nil {
		return err
	}
	for _, x := range t.signUps {
		if x.ID == personIn(r) {
			row := s.screeningRow(r, t, x, view.Answers{})
			p := view.TalkSheetPage{Page: s.page(r, "Talk with "+x.Name, "Desk"), Hike: t.hike.Title, When: view.Day(t.hike.Start, t.zone()),
				Row: row, Facts: t.facts(s.unitsOf(r)), Questions: hike.Questions(), Criteria: hike.Criteria(), BackURL: screeningPath(t.hike.ID)}
			return s.render(w, r, http.StatusOK, view.TalkSheet(p))
		}
	}
	return fmt.Errorf("sign-up %s on hike %d: %w", strings.TrimSpace(personIn(r)), t.hike.ID, hike.ErrNotFound)
}
