package view

import (
	"strconv"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/web/ui"
)

// HousePage is the settings of the organization, with the default and its source for each
// rule.
type HousePage struct {
	ui.Page
	Organisation, Emergency, Zone ui.Field
	Groups                        []RuleGroup
	Changes                       []HouseChangeLine
	Wrong                         string // the group whose form has faults; may be empty
}

// RuleGroup is a form of rules.
type RuleGroup struct {
	ID, Name string
	Rules    []RuleText
	Reason   ui.Field
}

// RuleText is one rule.
type RuleText struct {
	Field  ui.Field
	Notes  string // default, source, range and direction of caution
	Own    bool   // differs from the default
	Step   string // the value after one step toward caution; may be empty
	StepTo string // the URL of that step
}

// HouseChangeLine is one line of the history.
type HouseChangeLine struct{ At, Rule, From, To, Way, Reason, By string }

// NewRuleGroups asks for all rules, in the viewer's units.
func NewRuleGroups(a ui.FormState, r rules.Rules, sys format.System) []RuleGroup {
	var groups []RuleGroup
	for _, rule := range rules.AllRules() {
		if n := len(groups); n == 0 || groups[n-1].Name != rule.Group {
			id := strings.ReplaceAll(strings.ToLower(rule.Group), " ", "-")
			groups = append(groups, RuleGroup{ID: id, Name: rule.Group})
		}
		g := &groups[len(groups)-1]
		g.Rules = append(g.Rules, newRule(a, rule, r, sys))
	}
	sent := ui.First(a.Values["group"])
	for i := range groups {
		of := a
		if groups[i].ID != sent {
			of = ui.FormState{}
		}
		groups[i].Reason = of.Bind(ui.Field{Name: "reason", ID: "reason-" + groups[i].ID, Label: "Reason",
			Optional: true,
			Hint:     "Needed where a rule becomes less cautious. It is kept."})
	}
	return groups
}

func newRule(a ui.FormState, rule rules.Rule, r rules.Rules, sys format.System) RuleText {
	now, usual := rule.Of(r), rule.Of(rules.DefaultRules())
	t := RuleText{Own: now != usual, Field: ui.Field{Name: rule.Key, Label: rule.Name, Short: true,
		Unit: ruleUnit(rule.Unit, sys), Value: RuleFigure(rule.Unit, now, sys)}}
	if rule.Unit == rules.CalendarMon {
		t.Field.Unit, t.Field.Options = "", months(now)
	}
	t.Field = a.Bind(t.Field)
	t.Notes = "Default " + RuleWords(rule.Unit, usual, sys) + ". " + rule.Source
	if rule.Unit != rules.CalendarMon {
		t.Notes += " Kept between " + RuleFigure(rule.Unit, rule.Least, sys) + " and " +
			RuleWords(rule.Unit, rule.Most, sys) + wayOf(rule.Caution) + "."
	}
	if to, can := rule.MoreCautious(now); can {
		t.Step, t.StepTo = RuleWords(rule.Unit, to, sys), "/house/rules/"+rule.Key+"/caution"
	}
	return t
}

func wayOf(c rules.Caution) string {
	switch c {
	case rules.Lower:
		return "; lower is more cautious"
	case rules.Higher:
		return "; higher is more cautious"
	}
	return ""
}

// months returns the twelve months as options.
func months(now rules.Amount) []ui.Option {
	var list []ui.Option
	for m := rules.Amount(1); m <= 12; m++ {
		list = append(list, ui.Option{Value: m.String(), Label: rules.CalendarMon.Words(m), Selected: m == now})
	}
	return list
}

// All returns the questions whose faults are listed above the form.
func (g RuleGroup) All() []ui.Field {
	var all []ui.Field
	for _, r := range g.Rules {
		all = append(all, r.Field)
	}
	return append(all, g.Reason)
}

func (p HousePage) tabs() []ui.Tab {
	tabs := []ui.Tab{{Label: "Organisation", URL: "#words"}}
	for _, g := range p.Groups {
		tabs = append(tabs, ui.Tab{Label: g.Name, URL: "#" + g.ID})
	}
	return append(tabs, ui.Tab{Label: "Changes", URL: "#changes", Count: strconv.Itoa(len(p.Changes))})
}

func (p HousePage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "What"}, {Label: "When"}, {Label: "From"}, {Label: "To"}, {Label: "Reason"}}}
	for _, c := range p.Changes {
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.Rule}, {Text: c.At, Note: c.By}, {Text: ui.OrDash(c.From)},
			{Text: ui.OrDash(c.To), Note: c.Way}, {Text: ui.OrDash(c.Reason)}})
	}
	return l
}
