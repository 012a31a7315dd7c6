package rules

import (
	"strings"
	"time"

	"saltbush/internal/fault"
)

// House is the organization: its name, its emergency number, its zone and its rules.
type House struct {
	// Organization is the name that messages are sent under.
	Organisation string
	// Emergency is the local emergency number. Every page and paper prints it.
	Emergency string
	// Zone is the default time zone of a trailhead.
	Zone string
	// Rules are never zero when loaded from a store; saving zero Rules sets the defaults.
	Rules Rules
}

// Validate returns an Invalid with a message for each faulty text. Rules.Validate checks the rules.
func (h House) Validate() error {
	v := fault.Invalid{}
	v.Require("organisation", h.Organisation, 120, "Give the name in which messages go out.")
	v.Require("emergency", h.Emergency, 20, "Give the local emergency number.")
	if _, err := time.LoadLocation(h.Zone); err != nil || h.Zone == "" || h.Zone == "Local" {
		v.Add("zone", "Give a time zone, such as America/Denver.")
	}
	return v.Err()
}

// HouseChange records one change of a setting. It is kept for good.
type HouseChange struct {
	Rule       string // its key, or "organisation", "emergency" or "zone"
	From, To   string // with the unit
	TowardRisk bool
	Reason     string
	By         string
	At         time.Time
}

// Describe replaces the texts by those of another House and returns the changes.
func (h *House) Describe(to House, by string, at time.Time) ([]HouseChange, error) {
	if err := to.Validate(); err != nil {
		return nil, err
	}
	var changes []HouseChange
	replace := func(key string, text *string, to string) {
		if *text != to {
			changes = append(changes, HouseChange{Rule: key, From: *text, To: to, By: by, At: at})
			*text = to
		}
	}
	replace("organisation", &h.Organisation, to.Organisation)
	replace("emergency", &h.Emergency, to.Emergency)
	replace("zone", &h.Zone, to.Zone)
	return changes, nil
}

// Rule replaces the rules and returns the changes. A change toward risk needs a written reason.
func (h *House) Rule(to Rules, reason, by string, at time.Time) ([]HouseChange, error) {
	if err := to.Validate(); err != nil {
		return nil, err
	}
	var changes []HouseChange
	var risky []string
	for _, rule := range table {
		from, now := rule.Of(h.Rules), rule.Of(to)
		if from == now {
			continue
		}
		c := HouseChange{Rule: rule.Key, From: rule.Unit.Words(from), To: rule.Unit.Words(now),
			TowardRisk: rule.TowardRisk(from, now), Reason: reason, By: by, At: at}
		if c.TowardRisk {
			risky = append(risky, rule.Name)
		}
		changes = append(changes, c)
	}
	v := fault.Invalid{}
	if len(risky) > 0 {
		v.Require("reason", reason, 1000,
			"This is less cautious than before: "+strings.Join(risky, "; ")+". Write down why; it is kept.")
	}
	if err := v.Err(); err != nil {
		return nil, err
	}
	h.Rules = to
	return changes, nil
}
