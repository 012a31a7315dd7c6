package signups

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ShowScreening lists everybody with a talk before them or behind them.
func (s *Handlers) ShowScreening(w http.ResponseWriter, r *http.Request) error {
	return s.renderScreening(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderScreening(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	t, err := s.loadForTalks(r)
	if err != nil {
		return err
	}
	p := view.ScreeningPage{Page: s.Page(r, "Talks first", "Desk"), Hike: t.Hike.Title,
		When:    format.Day(t.Hike.Start, t.Zone()),
		BackURL: paths.Manage(t.Hike.ID)}
	for _, x := range t.SignUps {
		if x.State == signup.Withdrawn {
			continue
		}
		row := s.screeningRow(r, t, x, a)
		if x.Screening.Open() {
			p.Open = append(p.Open, row)
			continue
		}
		p.Others = append(p.Others, row)
	}
	return s.Render(w, r, status, view.Screening(p))
}

// loadForTalks loads a hike for the talks before it: only for those who may read them.
func (s *Handlers) loadForTalks(r *http.Request) (hike.Data, error) {
	h := kit.HikeIn(r)
	if !s.StaffVisibility(r, h).CanSee(privacy.KindScreening) {
		return hike.Data{}, fmt.Errorf("read the talks of hike %d: %w", h.ID, account.ErrNotAllowed)
	}
	return s.LoadHikeData(r.Context(), h)
}

func (s *Handlers) screeningRow(r *http.Request, t hike.Data, x signup.SignUp, a ui.FormState) view.ScreeningRow {
	u, at := s.UnitsOf(r), paths.Screening(t.Hike.ID)+"/"+x.ID
	if r.URL.Path != at {
		a = ui.FormState{}
	}
	visible := s.StaffVisibility(r, t.Hike)
	row := view.ScreeningRow{
		ID: x.ID, Name: x.Name, State: ui.StampOf(string(x.State)), Talk: x.Screening.Talk,
		Readiness: readinessOf(x, t),
		Told:      selfReportLines(x, t, u, visible), SheetURL: at + "/sheet", URL: at, Because: x.Because,
		Answered: x.Screening.Answer,
		Warn:     signup.Unfit(x, t.SignUps, t.Hike.Staff), Held: hike.Held(t.Hike, x),
		Fields: ScreeningForm(x.ID).Filled(a, x.Screening),
	}
	if x.Screening.Outcome != "" {
		row.Outcome = ui.StampOf(string(x.Screening.Outcome))
		row.OutcomeBy = x.Screening.By + ", " + format.Moment(x.Screening.At, t.Zone())
	}
	if alone := signup.AloneWithChild(x, t.SignUps, t.Hike.Staff); alone != "" {
		row.Warn = append(row.Warn, alone)
	}
	if visible.CanSee(privacy.KindContact) || x.Screening.Open() && visible.CanPhone() {
		row.Mobile = x.Mobile
	}
	if x.ContactConfirmed.IsZero() && x.State != signup.TurnedAway && visible.CanSee(privacy.KindContact) {
		row.ReachedURL = at + "/reached"
		row.Contact = x.EmergencyName + ", " + x.EmergencyPhone + ": " + contactNote(x, t)
	}
	row.Suggested = s.suggestions(r.Context(), x, u)
	return row
}

// readinessOf is what to raise with a person, in words: no verdict and nothing medical.
func readinessOf(x signup.SignUp, t hike.Data) view.ReadinessText {
	if t.Plan == nil {
		return view.ReadinessText{Ask: []string{"There is no plan yet, so the heat of the day is not known. Ask what " +
			"they know of heat."}}
	}
	ready := signup.ReadinessOf(x, *t.Plan)
	return view.ReadinessText{Talk: ready.Talk, Ask: ready.Ask}
}

func selfReportLines(x signup.SignUp, t hike.Data, u format.System, visible privacy.Visibility) []format.Line {
	yes := func(b bool) string {
		if b {
			return "yes"
		}
		return "no"
	}
	here := "lives here"
	if !x.SelfReport.LivesHere {
		here = "for " + format.Count(x.SelfReport.Here, "day", "days") + ", from " +
			format.OrElse(x.SelfReport.From, "a place not named")
	}
	lines := []format.Line{
		{Label: "Longest walk lately", Value: x.WalkWords(u != format.US)},
		{Label: "In this climate", Value: here,
			Note: format.Count(x.HotDays, "day", "days") + " of the last 14 active in heat"},
		{Label: "Walked in heat before", Value: yes(x.SelfReport.HotBefore),
			Note: "ill from heat: " + yes(x.SelfReport.HeatIll)},
		{Label: "Health to talk over", Value: yes(x.SelfReport.Health)},
		{Label: "Brings", Value: format.Volume(x.Water, u) + " of water; " +
			format.OrElse(x.SelfReport.Shoes, "shoes not named"), Note: "poles: " + yes(x.SelfReport.Poles)},
	}
	if x.Minor {
		line := format.Line{Label: "Under age", Value: "yes", Note: "with " + format.OrElse(x.Adult, "nobody named")}
		if visible.CanSee(privacy.KindContact) {
			line.Value = "guardian " + x.Guardian + ", " + x.GuardianPhone
		}
		lines = append(lines, line)
	}
	accepted := "not yet"
	if !x.RiskAccepted.IsZero() {
		accepted = "version " + x.RiskVersion + ", " + format.Moment(x.RiskAccepted, t.Zone())
	} else if x.Acknowledged {
		accepted = "yes, before versions were kept"
	}
	return append(lines, format.Line{Label: "Risks accepted", Value: accepted})
}

// ScreeningForm asks what a talk came to. Several of them stand on one page, each for a person.
func ScreeningForm(person string) kit.Questions[signup.Screening] {
	criteria := []ui.Option{{Label: "none"}}
	criteria = append(criteria, kit.OptionsOf(signup.Criteria())...)
	return kit.Questions[signup.Screening]{
		kit.Word(ui.Field{
			Name: "outcome", ID: "outcome-" + person, Label: "What the talk came to",
			Options: kit.OptionsOf(signup.TalkOutcomes()),
		}, func(s *signup.Screening) *signup.TalkOutcome { return &s.Outcome }),
		kit.Word(ui.Field{
			Name: "criterion", ID: "criterion-" + person, Label: "Criterion, the same for all",
			Kind: ui.KindSelect, Options: criteria, Optional: true,
		}, func(s *signup.Screening) *string { return &s.Criterion }),
		kit.Line(ui.Field{
			Name: "reason", ID: "reason-" + person, Label: "In neutral words", Optional: true,
			Hint: "The person reads it. Needed where you suggest another hike or decline.",
		}, func(s *signup.Screening) *string { return &s.Reason }),
	}
}

// Screen records what a talk came to.
func (s *Handlers) Screen(w http.ResponseWriter, r *http.Request) error {
	h, f := kit.HikeIn(r), kit.NewForm(r)
	if _, err := s.loadForTalks(r); err != nil {
		return err
	}
	to := signup.Screening{By: kit.NameOf(r)}
	ScreeningForm(kit.PersonIn(r)).Read(f, &to)
	_, err := s.Hikes.ChangeSignUp(r.Context(), kit.PersonIn(r), s.Now(), func(p *signup.SignUp) error {
		if p.Hike != h.ID {
			return fmt.Errorf("sign-up %s on hike %d: %w", p.ID, h.ID, fault.ErrNotFound)
		}
		return p.Screen(to, s.Now())
	}, s.notify.ChangedMails(h, notify.OutcomeLetter))
	var wrong fault.Invalid
	if errors.As(err, &wrong) {
		return s.renderScreening(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, wrong))
	}
	if err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), h.ID)
	return s.SeeOther(w, r, paths.Screening(h.ID), "Kept. It stands on the person's own page, and a mail goes out.")
}

// NoteReached keeps that a leader spoke with the emergency contact.
func (s *Handlers) NoteReached(w http.ResponseWriter, r *http.Request) error {
	h, now := kit.HikeIn(r), s.Now()
	_, err := s.Hikes.ChangeSignUp(r.Context(), kit.PersonIn(r), now, func(p *signup.SignUp) error {
		if p.Hike != h.ID {
			return fmt.Errorf("sign-up %s on hike %d: %w", p.ID, h.ID, fault.ErrNotFound)
		}
		p.ContactConfirmed = now
		return nil
	}, s.notify.ChangedMails(h, notify.NoLetter))
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Screening(h.ID), "Noted: the contact can be reached.")
}

// ShowTalkSheet is the paper for one talk: open questions, with room for notes.
func (s *Handlers) ShowTalkSheet(w http.ResponseWriter, r *http.Request) error {
	t, err := s.loadForTalks(r)
	if err != nil {
		return err
	}
	for _, x := range t.SignUps {
		if x.ID == kit.PersonIn(r) {
			row := s.screeningRow(r, t, x, ui.FormState{})
			p := view.TalkSheetPage{Page: s.Page(r, "Talk with "+x.Name, "Desk"), Hike: t.Hike.Title,
				When: format.Day(t.Hike.Start, t.Zone()),
				Row:  row, Facts: signUpFacts(t, s.UnitsOf(r)), Questions: signup.Questions(),
				Criteria: signup.Criteria(), BackURL: paths.Screening(t.Hike.ID)}
			return s.Render(w, r, http.StatusOK, view.TalkSheet(p))
		}
	}
	return fmt.Errorf("sign-up %s on hike %d: %w", strings.TrimSpace(kit.PersonIn(r)), t.Hike.ID, fault.ErrNotFound)
}
