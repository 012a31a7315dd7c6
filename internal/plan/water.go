package plan

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// BodyWater is the water of a small, a middling and a large body.
type BodyWater struct {
	Body  unit.Mass   `json:"body_kg"`
	Drink unit.Flow   `json:"drink_l_per_h"`
	Carry unit.Volume `json:"carry_l"`
}

// Load is what each person carries with their water, as a share of the reference body.
// Remark is empty where there is nothing to say, and never says to carry less water.
type Load struct {
	Share  unit.Percent `json:"share_of_body_percent"`
	Remark string       `json:"remark,omitempty"`
}

// Refill is a place on the way where there may be water. It is counted on only where the
// house has confirmed it lately; Carry is what to leave it with.
type Refill struct {
	Name    string      `json:"name"`
	Along   unit.Length `json:"at_m"`
	Seen    string      `json:"water_seen,omitempty"`
	Counted bool        `json:"counted"`
	Carry   unit.Volume `json:"carry_l_per_person"`
	Note    string      `json:"note"`
}

const (
	// House judgement: the house's load is four litres of water and this kit.
	kit = 4 * unit.Kilogram
	// House judgement, after the trade's rule for scouting in storm season: what was seen
	// longer ago than this is not known any more.
	seenLately = 30 * 24 * time.Hour
)

func (e results) water() Water {
	rate, took := hundredth(e.met.drink), e.route.march.estimate.P90
	w := Water{Drink: rate, WithoutRefills: supply.Carry(rate, took), BeforeStart: supply.BeforeStart,
		Sizes: []BodyWater{}}
	w.Carry, w.Refills = e.refills(rate, took, w.WithoutRefills)
	w.Bottles = supply.Bottles(w.Carry)
	for _, b := range supply.DrinkRange(e.route.in.Rules.BodyMass, e.met.wbgt, e.route.power, e.route.sunny(e.met)) {
		w.Sizes = append(w.Sizes,
			BodyWater{Body: b.Body, Drink: hundredth(b.Rate), Carry: supply.Carry(hundredth(b.Rate), took)})
	}
	if load, err := supply.WeighLoad(e.route.in.Rules.BodyMass, kit, w.Carry); err == nil {
		w.Load = Load{Share: whole(load.Share.Percent()), Remark: load.Remark}
	}
	if party := e.route.in.Party; !party.Alone() {
		w.Reserve = hundredth(supply.GroupReserve(party.People()))
	}
	return w
}

// refills tell of every place with water, and what the bottles must hold between those that
// are counted on. Where the figures do not fit each other nothing is counted on.
func (e results) refills(rate unit.Flow, took time.Duration, all unit.Volume) (unit.Volume, []Refill) {
	told, places := []Refill{}, []supply.Refill{}
	for _, p := range e.waterPoints() {
		sure := e.seenLately(p)
		told = append(told, Refill{Name: p.Name, Along: whole(p.Along), Seen: dateOf(p.WaterSeen), Counted: sure,
			Note: refillNote(p, sure)})
		places = append(places, supply.Refill{Name: p.Name, Along: p.Along,
			After: min(took, e.route.march.reach(p.Along, nineInTen)), Sure: sure})
	}
	fillings, err := supply.Fillings(rate, took, places)
	if err != nil {
		return all, []Refill{}
	}
	for _, f := range fillings {
		for i, r := range told {
			if r.Counted && r.Name == f.Name && r.Along == whole(f.Along) {
				told[i].Carry = f.Carry
			}
		}
	}
	return supply.BottlesToBring(fillings), told
}

func (e results) waterPoints() []Point {
	var points []Point
	for _, p := range e.route.in.Points {
		if p.Water {
			points = append(points, p)
		}
	}
	slices.SortStableFunc(points, func(a, b Point) int { return cmp.Compare(a.Along, b.Along) })
	return points
}

// seenLately reports whether the house confirmed the water within its time before the start.
func (e results) seenLately(p Point) bool {
	ago := e.met.start.Sub(p.WaterSeen)
	return !p.WaterSeen.IsZero() && ago >= 0 && ago <= seenLately
}

func dateOf(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

func refillNote(p Point, sure bool) string {
	switch {
	case sure:
		return fmt.Sprintf("Water was seen here on %s and is counted on. Never rely on it alone: treat it, and turn "+
			"back while there is enough for the way home.", dateOf(p.WaterSeen))
	case !p.WaterSeen.IsZero():
		return fmt.Sprintf("Water was seen here on %s, which is not within 30 days before the hike: never rely on "+
			"it. It is not counted on.", dateOf(p.WaterSeen))
	}
	return "There may be water here: never rely on it. It is not counted on."
}
