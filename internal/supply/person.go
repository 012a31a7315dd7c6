package supply

import (
	"fmt"

	"saltbush/internal/unit"
)

// DrinkOf returns Drink for one body, from the power of a reference body on the same walk. The cost of walking is
// proportional to the mass for everybody (Looney et al. 2019, fitted on women and men), and so are heat and water. TB
// MED 507 (2003) puts individuals within a quarter quart an hour of its cell, so the difference is limited to that.
// In sun and table heat the rate is no less than that body must evaporate. Sex matters only through the mass: at
// equal heat per kilogram, the published difference in sweat is small until the heat is extreme (Gagnon and Kenny
// 2012, J Physiol 590:5963-5973, from memory).
func DrinkOf(body, reference unit.Mass, wbgt unit.Temperature, p unit.Power, sunny bool) unit.Flow {
	size := float64(between(body, lightest, heaviest) / between(reference, lightest, heaviest))
	rate := Drink(wbgt, p, sunny)
	sized := between(rate*unit.Flow(size), rate-sunQuarter, rate+sunQuarter)
	if _, hot := categoryAt(wbgt); hot && sunny {
		sized = max(sized, SweatFloor(unit.Power(size)*p))
	}
	return between(sized, Floor, MaxDrinking)
}

// BodyRate is the drinking rate of a body of a given mass.
type BodyRate struct {
	Body unit.Mass
	Rate unit.Flow
}

// DrinkRange returns DrinkOf for bodies of 50, 75 and 100 kg, to print beside the figure for the reference body. Our
// judgment: these cover small adults, children and large adults.
func DrinkRange(reference unit.Mass, wbgt unit.Temperature, p unit.Power, sunny bool) []BodyRate {
	var rates []BodyRate
	for _, body := range []unit.Mass{50, 75, 100} {
		rates = append(rates, BodyRate{body, DrinkOf(body, reference, wbgt, p, sunny)})
	}
	return rates
}

// heavyWarning is the load above which the remark suggests sharing: a fifth of the body mass, a figure for packs of
// several days from the same weak source.
const heavyWarning unit.Fraction = 0.20

// Load is a pack relative to the body that carries it.
type Load struct {
	Share  unit.Fraction
	Remark string // a sentence, or ""
}

// WeighLoad remarks on a heavy pack. A heavy load is a reason to leave other things at home, to share them or to take
// a shorter way, and never to carry less water.
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
