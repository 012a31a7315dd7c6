package settings

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/web/kit"
	"saltbush/web/settings/view"
	"saltbush/web/ui"
)

// ShowHouse is the page of the house and its rules.
func (s *Handlers) ShowHouse(w http.ResponseWriter, r *http.Request) error {
	return s.renderHouse(w, r, http.StatusOK, ui.FormState{})
}

// houseChanges is how many changes of the rules are shown.
// Our judgment: the history of some years.
const houseChanges = 200

func (s *Handlers) renderHouse(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	changes, err := s.Hikes.HouseChanges(r.Context(), houseChanges)
	if err != nil {
		return err
	}
	p := view.HousePage{Page: s.Page(r, "Rules of the house", "House"),
		Groups: view.NewRuleGroups(a, house.Rules, s.UnitsOf(r))}
	if a.Values != nil {
		p.Wrong = strings.Join(a.Values["group"], "")
	}
	words := a
	if _, sent := a.Values["organisation"]; !sent {
		words = ui.FormState{Values: map[string][]string{"organisation": {house.Organisation},
			"emergency": {house.Emergency}, "zone": {house.Zone}}}
	}
	p.Organisation = words.Bind(ui.Field{Name: "organisation", Label: "Name of the organization",
		Hint: "In whose name messages go out."})
	p.Emergency = words.Bind(ui.Field{Name: "emergency", Label: "Local emergency number",
		Hint: "It stands on every page and paper.", Short: true})
	p.Zone = words.Bind(ui.Field{Name: "zone", Label: "Time zone of the trailheads",
		Hint: "As region and city, such as America/Phoenix."})
	for _, c := range changes {
		p.Changes = append(p.Changes, houseChangeLine(c, s.Zone(r)))
	}
	return s.Render(w, r, status, view.House(p))
}

func houseChangeLine(c rules.HouseChange, zone *time.Location) view.HouseChangeLine {
	line := view.HouseChangeLine{At: format.Day(c.At, zone) + ", " + format.Clock(c.At, zone),
		Rule: format.SentenceCase(c.Rule), From: c.From, To: c.To, Reason: c.Reason, By: c.By}
	if rule, known := rules.RuleByKey(c.Rule); known {
		line.Rule = rule.Name
	}
	if c.TowardRisk {
		line.Way = "less cautious"
	}
	return line
}

// changeHouse changes the house, or shows the form of the given part again with its faults.
func (s *Handlers) changeHouse(w http.ResponseWriter, r *http.Request,
	change func(*rules.House) ([]rules.HouseChange, error), part string) error {
	kept := 0
	err := s.Hikes.ChangeHouse(r.Context(), func(h *rules.House) ([]rules.HouseChange, error) {
		changes, err := change(h)
		kept = len(changes)
		return changes, err
	})
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderHouse(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	said := "Nothing was changed."
	if kept > 0 {
		said = fmt.Sprintf("Saved: %s. Plans that are made from now on use it; those already made keep what they "+
			"were made with.", format.Count(kept, "change", "changes"))
	}
	return s.SeeOther(w, r, "/house"+part, said)
}

// DescribeHouse stores the name, emergency number and time zone of the house.
func (s *Handlers) DescribeHouse(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	to := rules.House{Organisation: f.Text("organisation"), Emergency: f.Text("emergency"), Zone: f.Text("zone")}
	return s.changeHouse(w, r,
		func(h *rules.House) ([]rules.HouseChange, error) { return h.Describe(to, kit.NameOf(r), s.Now()) }, "")
}

// SetRules stores the rules in the form. The other rules stay.
func (s *Handlers) SetRules(w http.ResponseWriter, r *http.Request) error {
	f, u := kit.NewForm(r), s.UnitsOf(r)
	reason := f.Text("reason")
	return s.changeHouse(w, r, func(h *rules.House) ([]rules.HouseChange, error) {
		to := h.Rules
		for _, rule := range rules.AllRules() {
			readRule(f, rule, &to, u)
		}
		if len(f.Faults) > 0 {
			return nil, f.Faults
		}
		return h.Rule(to, reason, kit.NameOf(r), s.Now())
	}, "#"+f.Text("group"))
}

// readRule reads one rule if it is in the form. A figure that equals the current one as shown
// is not a change, because the page rounds figures.
func readRule(f kit.Form, rule rules.Rule, to *rules.Rules, u format.System) {
	typed, sent := f.Values[rule.Key]
	if !sent || len(typed) == 0 || strings.TrimSpace(typed[0]) == view.RuleFigure(rule.Unit, rule.Of(*to), u) {
		return
	}
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(typed[0]), ",", ".", 1), 64)
	if err != nil || v != v {
		f.Faults.Add(rule.Key, "Give a number.")
		return
	}
	rule.Set(to, view.RuleAmount(rule.Unit, v, u))
}

// MoreCautious moves one rule a step toward caution, which needs no reason.
func (s *Handlers) MoreCautious(w http.ResponseWriter, r *http.Request) error {
	rule, known := rules.RuleByKey(chi.URLParam(r, "rule"))
	if !known {
		return fmt.Errorf("rule %q: %w", chi.URLParam(r, "rule"), fault.ErrNotFound)
	}
	return s.changeHouse(w, r, func(h *rules.House) ([]rules.HouseChange, error) {
		to := h.Rules
		if next, can := rule.MoreCautious(rule.Of(to)); can {
			rule.Set(&to, next)
		}
		return h.Rule(to, "", kit.NameOf(r), s.Now())
	}, "#"+rule.Key)
}
