package rules

import (
	"strings"
	"time"

	"saltbush/internal/fault"
)

// House is what the organisation says of itself, and its rules.
type House struct {
	// Organisation is the name in which messages go out.
	Organisation string
	// Emergency is the local emergency number; it stands on every page and paper.
	Emergency string
	// Zone is offered first where a trailhead's time zone is asked.
	Zone string
	// Rules are what the organisation asks of itself. A store never returns the zero Rules;
	// saving them sets the defaults.
	Rules Rules
}

// Validate returns an Invalid naming each fault of the words. The rules have their own.
func (h House) Validate() error {
	v := fault.Invalid{}
	v.Require("organisation", h.Organisation, 120, "Give the name in which messages go out.")
	v.Require("emergency", h.Emergency, 20, "Give the local emergency number.")
	if _, err := time.LoadLocation(h.Zone); err != nil || h.Zone == "" || h.Zone == "Local" {
		v.Add("zone", "Give a time zone, such as America/Denver.")
	}
	return v.Err()
}

// HouseChange is one change of what the house has set, kept for good.
type HouseChange struct {
	Rule       string // its key, or "organisation", "emergency" or "zone"
	From, To   string // with the unit
	TowardRisk bool
	Reason     string
	By         string
	At         time.Time
}

// Describe takes over the words of another house.
func (h *House) Describe(to House, by string, at time.Time) ([]HouseChange, error) {
	if err := to.Validate(); err != nil {
		return nil, err
	}
	var changes []HouseChange
	for _, w := range []struct {
		key      string
		from, to *string
	}{{"organisation", &h.Organisation, &to.Organisation}, {"emergency", &h.Emergency, &to.Emergency}, {"zone", &h.Zone, &to.Zone}} {
		if *w.from != *w.to {
			changes = append(changes, HouseChange{Rule: w.key, From: *w.from, To: *w.to, By: by, At: at})
			*w.from = *w.to
		}
	}
	return changes, nil
}

// Rule takes over the rules given. A change toward risk needs a written reason; toward
// caution none is asked.
func (h *House) Rule(to Rules, reason, by string, at time.Time) ([]HouseChange, error) {
	if err := to.Validate(); err != nil {
		return nil, err
	}
	var changes []HouseChange
	var risky []string
	for _, rule := range AllRules() {
		from, now := rule.Of(h.Rules), rule.Of(to)
		if from == now {
			continue
		}
		c := HouseChange{Rule: rule.Key, From: rule.Unit.Words(from), To: rule.Unit.Words(now), TowardRisk: rule.TowardRisk(from, now),
			Reason: reason, By: by, At: at}
		if c.TowardRisk {
			risky = append(risky, rule.Name)
		}
		changes = append(changes, c)
	}
	v := fault.Invalid{}
	if len(risky) > 0 {
		v.Require("reason", reason, 1000, "This is less cautious than before: "+strings.Join(risky, "; ")+". Write down why; it is kept.")
	}
	if err := v.Err(); err != nil {
		return nil, err
	}
	h.Rules = to
	return changes, nil
}
