package supply_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// pair draws two values in order.
func pair(t *rapid.T, what string, low, high float64) (less, more float64) {
	a := rapid.Float64Range(low, high).Draw(t, what)
	b := rapid.Float64Range(low, high).Draw(t, what)
	return min(a, b), max(a, b)
}

func TestHeavierFasterSteeperNeverCostsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		light, heavy := pair(t, "mass", 10, 300)
		slow, fast := pair(t, "speed", 0, 3)
		flat, steep := pair(t, "slope", 0, 0.9)
		firm, soft := pair(t, "terrain", 1, 2.1)
		base := supply.Metabolic(unit.Mass(light), unit.Speed(slow), unit.Slope(flat), supply.Terrain(firm))
		for name, p := range map[string]unit.Power{
			"heavier": supply.Metabolic(unit.Mass(heavy), unit.Speed(slow), unit.Slope(flat),
				supply.Terrain(firm)),
			"faster": supply.Metabolic(unit.Mass(light), unit.Speed(fast), unit.Slope(flat),
				supply.Terrain(firm)),
			"steeper": supply.Metabolic(unit.Mass(light), unit.Speed(slow), unit.Slope(steep),
				supply.Terrain(firm)),
			"on softer": supply.Metabolic(unit.Mass(light), unit.Speed(slow), unit.Slope(flat),
				supply.Terrain(soft)),
			"all together": supply.Metabolic(unit.Mass(heavy), unit.Speed(fast), unit.Slope(steep),
				supply.Terrain(soft)),
		} {
			if p < base-1e-9 {
				t.Errorf("%s costs %v W, less than %v W", name, p.Watts(), base.Watts())
			}
		}
	})
}

func TestMetabolicIsFiniteForAnything(t *testing.T) {
	anything := rapid.Float64()
	rapid.Check(t, func(t *rapid.T) {
		p := supply.Metabolic(unit.Mass(anything.Draw(t, "mass")), unit.Speed(anything.Draw(t, "speed")),
			unit.Slope(anything.Draw(t, "slope")), supply.Terrain(anything.Draw(t, "terrain")))
		if !(p > 0) || math.IsInf(float64(p), 0) {
			t.Errorf("%v W", p.Watts())
		}
	})
}

func TestHotterHarderLongerNeverNeedsLessWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cool, hot := pair(t, "wbgt", 5, 45)
		easy, hard := pair(t, "power", 0, 1500)
		short, long := pair(t, "hours", 0, 24)
		sunny := rapid.Bool().Draw(t, "sunny")
		drink := func(wbgt, power float64, sunny bool) unit.Flow {
			return supply.Drink(unit.Temperature(wbgt), unit.Power(power), sunny)
		}
		base := drink(cool, easy, sunny)
		if base < supply.Floor || base > supply.MaxDrinking {
			t.Errorf("drink %v L/h, want between the floor and the ceiling", base)
		}
		for name, rate := range map[string]unit.Flow{
			"hotter": drink(hot, easy, sunny), "harder": drink(cool, hard, sunny), "in sun": drink(cool, easy, true),
		} {
			if rate < base {
				t.Errorf("%s needs %v L/h, less than %v", name, rate, base)
			}
		}
		if a, b := supply.Carry(base, hours(short)), supply.Carry(base, hours(long)); b < a {
			t.Errorf("longer carries %v L, less than %v L", b, a)
		}
	})
}

func TestCarryIsTheNeedRoundedUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(0, 1.42).Draw(t, "rate")
		span := time.Duration(rapid.Int64Range(0, int64(24*time.Hour)).Draw(t, "time"))
		need, got := rate*span.Hours(), supply.Carry(unit.Flow(rate), span).Litres()
		if got < need-0.00011 || got > need+0.5 || math.Mod(got, 0.5) != 0 {
			t.Errorf("need %v L, carries %v L", need, got)
		}
	})
}

// For any input, food and water are finite, at least zero and at most their ceilings; a harder or longer walk never
// needs less food.
func TestFoodAndWaterAreFiniteForAnything(t *testing.T) {
	anything := rapid.Float64()
	rapid.Check(t, func(t *rapid.T) {
		p, wbgt := unit.Power(anything.Draw(t, "power")), unit.Temperature(anything.Draw(t, "wbgt"))
		rate := supply.Drink(wbgt, p, rapid.Bool().Draw(t, "sunny"))
		sized := supply.DrinkOf(unit.Mass(anything.Draw(t, "body")), unit.Mass(anything.Draw(t, "reference")), wbgt, p,
			true)
		for _, flow := range []unit.Flow{rate, sized} {
			if !(flow >= supply.Floor && flow <= supply.MaxDrinking) {
				t.Errorf("drinks %v L/h, want between the floor and the ceiling", flow)
			}
		}
		span := time.Duration(rapid.Int64().Draw(t, "time"))
		low, high, carry := supply.Food(p, span)
		if !(low >= 0 && low <= high && high <= 200 && carry >= 0) || math.IsInf(float64(carry), 0) {
			t.Errorf("food from %v to %v, carry %v", low, high, carry)
		}
		if water := supply.Carry(unit.Flow(anything.Draw(t, "rate")), span); !(water >= 0 && water <= 960) {
			t.Errorf("carries %v L", water)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		easy, hard := pair(t, "power", 0, 2000)
		short, long := pair(t, "hours", 0, 24)
		_, _, base := supply.Food(unit.Power(easy), hours(short))
		if _, _, harder := supply.Food(unit.Power(hard), hours(short)); harder < base {
			t.Errorf("harder carries %v kcal, less than %v", harder, base)
		}
		if _, _, longer := supply.Food(unit.Power(easy), hours(long)); longer < base {
			t.Errorf("longer carries %v kcal, less than %v", longer, base)
		}
	})
}

func BenchmarkMetabolic(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		supply.Metabolic(82, 1.1, 0.08, supply.DirtRoad)
	}
}

func BenchmarkDrink(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		supply.Drink(31, 430, true)
	}
}
