package rules_test

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/rules"
)

func TestDefaultsAreValid(t *testing.T) {
	r := rules.DefaultRules()
	if err := r.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, rule := range rules.AllRules() {
		if got := rule.Of(r); math.Abs(float64(got-rule.Default)) > 1e-9 {
			t.Errorf("%s: the default is %v, the rules hold %v", rule.Key, rule.Default, got)
		}
	}
	if r.WatchShare != 0.90 {
		t.Errorf("the watch share is %v, want exactly 0.90: the watch compares it", float64(r.WatchShare))
	}
}

// Every field of Rules has a row: a setting without one could not be changed, and would default to zero.
func TestEveryFieldHasARule(t *testing.T) {
	if got, want := len(rules.AllRules()), fields(reflect.TypeFor[rules.Rules]()); got != want {
		t.Errorf("%d rules for %d fields", got, want)
	}
}

// fields counts the fields of a struct, those of nested structs in their place.
func fields(of reflect.Type) int {
	n := 0
	for i := range of.NumField() {
		if f := of.Field(i).Type; f.Kind() == reflect.Struct {
			n += fields(f)
		} else {
			n++
		}
	}
	return n
}

func TestEveryRuleIsExplained(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rules.AllRules() {
		switch {
		case seen[r.Key]:
			t.Errorf("%s twice", r.Key)
		case r.Name == "" || r.Source == "" || r.Group == "" || r.Unit == "":
			t.Errorf("%s lacks a name, a source, a group or a unit", r.Key)
		case r.Least >= r.Most:
			t.Errorf("%s has the bounds %v and %v", r.Key, r.Least, r.Most)
		case (r.Caution == rules.Neither) != (r.Step == 0):
			t.Errorf("%s: a rule has a step if and only if it has a cautious direction", r.Key)
		}
		seen[r.Key] = true
	}
}

// Each rule reads and writes a field of its own, and survives the store.
func TestRulesComeBackAsSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := rules.AllRules()
		rule := all[rapid.IntRange(0, len(all)-1).Draw(t, "rule")]
		at := rapid.Float64Range(0, 1).Draw(t, "at")
		to := rule.Least + rules.Amount(math.Round(float64(rule.Most-rule.Least)*at))
		r := rules.DefaultRules()
		rule.Set(&r, to)
		if got := rule.Of(r); got != to {
			t.Fatalf("%s: set %v, got %v", rule.Key, to, got)
		}
		own := r.Own()
		if to != rule.Of(rules.DefaultRules()) && len(own) != 1 {
			t.Fatalf("%s changed %v", rule.Key, own)
		}
		text, err := json.Marshal(own)
		if err != nil {
			t.Fatal(err)
		}
		back, err := rules.ReadRules(text)
		var invalid fault.Invalid
		if err != nil && !errors.As(err, &invalid) {
			t.Fatal(err)
		}
		if err == nil && rule.Of(back) != to {
			t.Fatalf("%s: stored %v, read %v", rule.Key, to, rule.Of(back))
		}
	})
}

func TestRulesOf(t *testing.T) {
	for _, c := range []struct {
		name  string
		own   map[string]rules.Amount
		fault string // the key in error
	}{
		{"nothing set", nil, ""},
		{"one set", map[string]rules.Amount{"ratio": 6}, ""},
		{"unknown key", map[string]rules.Amount{"ration": 6}, "ration"},
		{"below its range", map[string]rules.Amount{"ratio": 1}, "ratio"},
		{"above its range", map[string]rules.Amount{"decision_lead": 100}, "decision_lead"},
		{"not a number", map[string]rules.Amount{"load": rules.Amount(math.NaN())}, "load"},
		{"second step of the ladder below the first",
			map[string]rules.Amount{"short_only_from": 28}, "short_only_from"},
		{"last step of the ladder below the second", map[string]rules.Amount{"cancel_from": 34}, "cancel_from"},
		{"urgent wait longer than the usual one", map[string]rules.Amount{"urgent_after": 90}, "urgent_after"},
		{"good for longer in storms", map[string]rules.Amount{"scout_wet": 60, "scout_dry": 45}, "scout_wet"},
		{"no watch share", map[string]rules.Amount{"watch_share": 0}, "watch_share"},
		{"watch share of all", map[string]rules.Amount{"watch_share": 100}, "watch_share"},
		{"no wait before widening", map[string]rules.Amount{"widen_after": 0}, "widen_after"},
		{"a day of asking", map[string]rules.Amount{"call_after": 24 * 60}, "call_after"},
		{"no urgent wait", map[string]rules.Amount{"urgent_after": 0}, "urgent_after"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := rules.RulesOf(c.own)
			var v fault.Invalid
			if errors.As(err, &v); c.fault == "" && err != nil || c.fault != "" && v[c.fault] == "" {
				t.Errorf("got %v, want a fault of %q", err, c.fault)
			}
		})
	}
}

func TestChangeOfRules(t *testing.T) {
	at := time.Date(2027, 3, 1, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name   string
		key    string
		to     rules.Amount
		reason string
		fault  bool
		risk   bool
		want   int // changes recorded
	}{
		{"toward caution, no reason", "ratio", 6, "", false, false, 1},
		{"toward risk, no reason", "ratio", 10, "", true, false, 0},
		{"toward risk, with a reason", "ratio", 10, "Easy loops alone this season.", false, true, 1},
		{"higher is cautious", "daylight_margin", 90, "", false, false, 1},
		{"lower is not", "daylight_margin", 30, "", true, false, 0},
		{"no direction", "hold", 24, "", false, false, 1},
		{"unchanged", "ratio", 8, "", false, false, 0},
		{"out of range", "ratio", 99, "Because.", true, false, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := rules.House{Rules: rules.DefaultRules()}
			rule, _ := rules.RuleByKey(c.key)
			to := h.Rules
			rule.Set(&to, c.to)
			changes, err := h.Rule(to, c.reason, "Juniper Vale", at)
			if (err != nil) != c.fault {
				t.Fatalf("got %v, want a fault: %v", err, c.fault)
			}
			if now := rule.Of(h.Rules); (now == c.to) == c.fault {
				t.Errorf("the rule is now %v", now)
			}
			if len(changes) != c.want || c.want == 1 && changes[0].TowardRisk != c.risk {
				t.Errorf("recorded %+v", changes)
			}
		})
	}
}

func TestOneStepTowardCautionNeedsNoReason(t *testing.T) {
	for _, rule := range rules.AllRules() {
		r := rules.DefaultRules()
		to, can := rule.MoreCautious(rule.Of(r))
		if can != (rule.Caution != rules.Neither) {
			t.Errorf("%s: a step from the default is possible: %v", rule.Key, can)
		}
		if can && rule.TowardRisk(rule.Of(r), to) {
			t.Errorf("%s: from %v to %v is not a step toward caution", rule.Key, rule.Of(r), to)
		}
		end := rule.Least
		if rule.Caution == rules.Higher {
			end = rule.Most
		}
		if _, can := rule.MoreCautious(end); can {
			t.Errorf("%s: a step past its end", rule.Key)
		}
	}
}

func TestStaffNeeded(t *testing.T) {
	r := rules.DefaultRules()
	r.Ratio = 6
	for participants, want := range map[int]int{0: 2, 1: 2, 12: 2, 13: 3, 18: 3, 19: 4} {
		if got := r.StaffNeeded(participants); got != want {
			t.Errorf("%d participants: %d staff, want %d", participants, got, want)
		}
	}
}

func TestScoutStands(t *testing.T) {
	r := rules.DefaultRules()
	over := r
	over.StormFirst, over.StormLast = time.November, time.February
	on := func(m time.Month) time.Time { return time.Date(2027, m, 10, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		name  string
		rules rules.Rules
		month time.Month
		days  int
	}{
		{"before the season", r, time.May, 90},
		{"its first month", r, time.June, 30},
		{"its last month", r, time.September, 30},
		{"after it", r, time.October, 90},
		{"over the new year, inside", over, time.January, 30},
		{"over the new year, outside", over, time.July, 90},
	} {
		if got := c.rules.ScoutStands(on(c.month)); got != time.Duration(c.days)*24*time.Hour {
			t.Errorf("%s: %s, want %d days", c.name, got, c.days)
		}
	}
}

func TestHikesUseTheRules(t *testing.T) {
	h := hike.Hike{Start: time.Date(2027, 3, 1, 9, 0, 0, 0, time.UTC)}
	if got := h.Start.Sub(h.DecideBy()); got != rules.DefaultRules().DecisionLead {
		t.Errorf("a hike without rules decides %s before, want the default", got)
	}
	h.House = rules.DefaultRules()
	h.House.DecisionLead = 24 * time.Hour
	if got := h.Start.Sub(h.DecideBy()); got != 24*time.Hour {
		t.Errorf("decides %s before, want the organization's 24 h", got)
	}
}
