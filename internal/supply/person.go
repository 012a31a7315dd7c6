package supply

import (
	"fmt"

	"saltbush/internal/unit"
)

// DrinkOf returns Drink for one body, from the power of a reference body on the same walk.
// The cost of walking is so much a kilogram for everybody (Looney et al. 2019, fitted on
// women and men), so heat and water go with the mass; TB MED 507 (2003) has individuals
// within a quarter quart an hour of its cell, and no further is it carried. In sun and table
// heat it is no less than that body must evaporate. Sex comes in by the mass alone: at equal
// heat a kilogram, the published difference in sweat is small until the heat is extreme
// (Gagnon and Kenny 2012, J Physiol 590:5963-5973, from memory).
func DrinkOf(body, reference unit.Mass, wbgt unit.Temperature, p unit.Power, sunny bool) unit.Flow {
	size := float64(between(body, lightest, heaviest) / between(reference, lightest, heaviest))
	rate := Drink(wbgt, p, sunny)
	sized := between(rate*unit.Flow(size), rate-sunQuarter, rate+sunQuarter)
	if _, hot := categoryAt(wbgt); hot && sunny {
		sized = max(sized, SweatFloor(unit.Power(size)*p))
	}
	return between(sized, Floor, MaxDrinking)
}

// BodyRate is what a body of some mass drinks.
type BodyRate struct {
	Body unit.Mass
	Rate unit.Flow
}

// DrinkRange returns DrinkOf for bodies of 50, 75 and 100 kg, to print beside the figure for
// the reference body. House judgement: small and large adults, and children are small.
func DrinkRange(reference unit.Mass, wbgt unit.Temperature, p unit.Power, sunny bool) []BodyRate {
	var rates []BodyRate
	for _, body := range []unit.Mass{50, 75, 100} {
		rates = append(rates, BodyRate{body, DrinkOf(body, reference, wbgt, p, sunny)})
	}
	return rates
}

// heavyWarning is the load at which it is asked to share: a fifth of the body's mass, the
// same low authority's figure for packs of several days.
const heavyWarning unit.Fraction = 0.20

// Load is a pack against the body that carries it.
type Load struct {
	Share  unit.Fraction
	Remark string // a whole sentence, or empty where there is nothing to say
}

// WeighLoad remarks on a heavy pack. Whatever it says, the water stays: a load is a reason
// to leave other things, to share them or to take a shorter way, and never one to carry less
// water.
func WeighLoad(body, kit unit.Mass, water unit.Volume) (Load, error) {
	share, err := LoadShare(body, kit, water)
	if err != nil {
		return Load{}, err
	}
	return Load{Share: share, Remark: loadRemark(share)}, nil
}

func loadRemark(share unit.Fraction) string {
	percent := float64(share.Percent())
	switch {
	case share > heavyWarning:
		return fmt.Sprintf("This pack is %.0f %% of the body's weight: take a shorter way, or let others carry part "+
			"of the kit. Do not leave water.", percent)
	case share > LoadWarning:
		return fmt.Sprintf("This pack is %.0f %% of the body's weight: leave other things at home. Do not leave water.",
			percent)
	}
	return ""
}
