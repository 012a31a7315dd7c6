package plan

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// BodyWater is the water for a body of one size.
type BodyWater struct {
	Body  unit.Mass   `json:"body_kg"`
	Drink unit.Flow   `json:"drink_l_per_h"`
	Carry unit.Volume `json:"carry_l"`
}

// Load is what each person carries, water included, as a share of the reference body. Remark is often empty, and never
// says to carry less water.
type Load struct {
	Share  unit.Percent `json:"share_of_body_percent"`
	Remark string       `json:"remark,omitempty"`
}

// Refill is a place on the way where there may be water. It is counted on only if the organization has confirmed it
// lately. Carry is how much to take from there.
type Refill struct {
	Name    string      `json:"name"`
	Along   unit.Length `json:"at_m"`
	Seen    string      `json:"water_seen,omitempty"`
	Counted bool        `json:"counted"`
	Carry   unit.Volume `json:"carry_l_per_person"`
	Note    string      `json:"note"`
}

const (
	// Our judgment: the default load is four liters of water and this kit.
	kit = 4 * unit.Kilogram
	// Our judgment, after the common rule for scouting in storm season: water seen earlier than this before the start
	// is not counted on.
	seenLately = 30 * day24
)

func (e results) water() Water {
	rate, took := hundredth(e.outcome.drink), e.route.timing.estimate.P90
	w := Water{Drink: rate, WithoutRefills: supply.Carry(rate, took), BeforeStart: supply.BeforeStart,
		Sizes: []BodyWater{}}
	w.Carry, w.Refills = e.refills(rate, took, w.WithoutRefills)
	w.Bottles = supply.Bottles(w.Carry)
	for _, b := range supply.DrinkRange(e.route.in.Rules.BodyMass, e.outcome.wbgt, e.route.power,
		e.route.sunny(e.outcome)) {
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

// refills lists every place with water, and returns what the bottles must hold between those that are counted on. Where
// the figures contradict each other nothing is counted on.
func (e results) refills(rate unit.Flow, took time.Duration, all unit.Volume) (unit.Volume, []Refill) {
	list, places := []Refill{}, []supply.Refill{}
	for _, p := range e.waterPoints() {
		sure := e.seenLately(p)
		list = append(list, Refill{Name: p.Name, Along: whole(p.Along), Seen: dateOf(p.WaterSeen), Counted: sure,
			Note: refillNote(p, sure)})
		places = append(places, supply.Refill{Name: p.Name, Along: p.Along,
			After: min(took, e.route.timing.reach(p.Along, nineInTen)), Sure: sure})
	}
	fillings, err := supply.Fillings(rate, took, places)
	if err != nil {
		return all, []Refill{}
	}
	for _, f := range fillings {
		for i, r := range list {
			if r.Counted && r.Name == f.Name && r.Along == whole(f.Along) {
				list[i].Carry = f.Carry
			}
		}
	}
	return supply.BottlesToBring(fillings), list
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

func waterFigures() []figure {
	const carry = "rate x P90, up to the next half litre"
	const perRate = "{rate}, P90 {p90}"
	return []figure{
		{"drink_l_per_h", "table cell, in sun a quarter quart more and no less than must evaporate",
			"peak {peak}, the hardest hour's work", supply.DrinkSource},
		{"carry_l_per_person", carry + "; less where refills are counted on", perRate, byPractice},
		{"carry_without_refills_l", carry, perRate, byPractice},
		{"refills[].at_m", "distance from the start of the walk", "the trail's points", track.Source},
		{"refills[].counted", fmt.Sprintf("confirmed by the house within %d days before the start", seenLately/day24),
			"the trail's points", byJudgement},
		{"refills[].carry_l_per_person", "rate x P90 time to the next counted refill or the end", perRate, byPractice},
		{"body_sizes[].body_kg", "small and large adults beside the middle", "", byJudgement},
		{"body_sizes[].drink_l_per_h", "rate x mass / reference mass, within a quarter quart an hour of the rate",
			"{rate}; {body}", supply.DrinkSource},
		{"body_sizes[].carry_l", "that " + carry, "P90 {p90}", byPractice},
		{"load.share_of_body_percent", fmt.Sprintf("(%.0f kg of kit + 1 kg for each litre) / reference mass",
			kit.Kilograms()), "{body}", byPractice},
		{"group_reserve_l", "2 L, or 0.25 L a person if more; none for one person alone", "{party}", byJudgement},
		{"before_start_l", "drunk before the trailhead", "", byPractice},
	}
}

// seenLately reports whether the water was confirmed lately before the start.
func (e results) seenLately(p Point) bool {
	ago := e.outcome.start.Sub(p.WaterSeen)
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
