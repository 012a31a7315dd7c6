package supply

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Flux is heat through the skin in W/m2 of body surface.
type Flux float64

// SweatRate is sweat in grams for each square metre of body and hour.
type SweatRate float64

// Area is body surface in square metres.
type Area float64

// StandardArea is the standard person of the heat standards (ISO 7933), 1.8 m2.
const StandardArea Area = 1.8

// Of returns the water that a body surface loses, a gram taken as a millilitre.
func (r SweatRate) Of(a Area) unit.Flow { return unit.Flow(float64(r) * float64(a) / 1000) }

// HeatBalance is what evaporation must carry away and the most that the air can take.
type HeatBalance struct {
	Required Flux // Ereq
	Maximum  Flux // Emax
}

// Surroundings are the conditions that the sweat equations were fitted in.
type Surroundings struct {
	Air    unit.Temperature
	Vapour unit.Pressure
	Wind   unit.Speed
	Work   Flux // metabolic rate for each square metre
}

// Check refuses, by name, surroundings outside those of Gonzalez et al. 2009: 15 to 46 C,
// vapour pressure 0.27 to 4.45 kPa, wind 0.4 to 2.5 m/s, work up to 450 W/m2.
func (s Surroundings) Check() error {
	limits := []struct {
		name             string
		value, low, high float64
	}{
		{"air temperature, C", s.Air.Celsius(), 15, 46},
		{"vapour pressure, Pa", float64(s.Vapour), 270, 4450},
		{"wind, m/s", s.Wind.MetresPerSecond(), 0.4, 2.5},
		{"work, W/m2", float64(s.Work), 0, 450},
	}
	for _, l := range limits {
		if !(l.value >= l.low && l.value <= l.high) {
			return fmt.Errorf("%s: %g is not between %g and %g", l.name, l.value, l.low, l.high)
		}
	}
	return nil
}

// check refuses balances that no body has. House judgement: 1000 W/m2 is twice the hardest
// work in the paper, and no clothed skin evaporates more.
func (b HeatBalance) check() error {
	switch {
	case !(b.Required >= 0 && b.Required <= 1000):
		return fmt.Errorf("required evaporation %g W/m2 is not between 0 and 1000", float64(b.Required))
	case !(b.Maximum > 0 && b.Maximum <= 1000):
		return fmt.Errorf("most evaporation %g W/m2 is not above 0 and up to 1000", float64(b.Maximum))
	}
	return nil
}

// Permeability is a clothing's moisture permeability index, 0 for a bag to 1 for bare skin.
type Permeability float64

// Clothed returns the balance of a clothed body in shade, from memory of the form that goes
// with the sweat equations: a second opinion, since it takes no sun. Dry heat from the air is
// 6.45 (Ta - 36)/It W/m2 and the most evaporation 14.21 im/It (44 - Pa), clo and mmHg, for
// a skin of 36 C.
func Clothed(s Surroundings, it Clo, im Permeability) (HeatBalance, error) {
	if err := s.Check(); err != nil {
		return HeatBalance{}, err
	}
	// House judgement: from a light shirt in wind to a winter coat.
	if !(it >= 0.3 && it <= 3) {
		return HeatBalance{}, fmt.Errorf("insulation %g clo is not between 0.3 and 3", float64(it))
	}
	if !(im > 0 && im <= 1) {
		return HeatBalance{}, fmt.Errorf("permeability %g is not above 0 and up to 1", float64(im))
	}
	const pascalsOfMercury = 133.322 // a millimetre, exact enough by definition of the torr
	dry := 6.45 * Flux(s.Air.Celsius()-36) / Flux(it)
	most := 14.21 * float64(im) / float64(it) * (44 - float64(s.Vapour)/pascalsOfMercury)
	return HeatBalance{Required: max(0, s.Work+dry), Maximum: Flux(most)}, nil
}

// OSE returns sweat by the original equation of Shapiro et al., which reads high.
func (b HeatBalance) OSE() (SweatRate, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return b.ose(), nil
}

func (b HeatBalance) ose() SweatRate {
	// Shapiro et al. 1982 as given by Gonzalez et al. 2009, J Appl Physiol 107:379-388:
	// 27.9 Ereq Emax^-0.455.
	return SweatRate(27.9 * float64(b.Required) * math.Pow(float64(b.Maximum), -0.455))
}

// OSEC returns sweat by the corrected equation. Standard error under 100 g/m2/h.
func (b HeatBalance) OSEC() (SweatRate, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	// Gonzalez et al. 2009: 147 exp(0.0012 OSE).
	return SweatRate(147 * math.Exp(0.0012*float64(b.ose()))), nil
}

// pwRest is the piecewise equation's intercept, and OSEC's sweat where none is required.
const pwRest = 147

// PW returns sweat by the piecewise equation. In dry heat, where the air could take far
// more than is asked, it falls out of sense. House judgement: it refuses once it is below
// its own intercept, the sweat of a body that need not sweat. Above that it can still be
// under the water that evaporates, so Sweat does not use it.
func (b HeatBalance) PW() (SweatRate, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	if raw := b.pw(); raw >= pwRest {
		return raw, nil
	}
	return 0, fmt.Errorf("piecewise sweat %.1f g/m2/h at required %g and most %g W/m2 is below its rest value %d",
		float64(b.pw()), float64(b.Required), float64(b.Maximum), pwRest)
}

func (b HeatBalance) pw() SweatRate {
	// Gonzalez et al. 2009: 147 + 1.527 Ereq - 0.87 Emax.
	return SweatRate(pwRest + 1.527*float64(b.Required) - 0.87*float64(b.Maximum))
}

// gramsPerWattHour is the water that carries one watt away for an hour: 3600 s over 2.43
// MJ/kg, the heat of vaporisation of sweat at skin temperature; 1.48.
const gramsPerWattHour = 3600 / 2430.0

// evaporated is the sweat that does the required cooling if none drips or dries early. The
// air cannot take more than the maximum.
func (b HeatBalance) evaporated() SweatRate {
	return SweatRate(gramsPerWattHour * float64(min(b.Required, b.Maximum)))
}

// Sweat returns the loss to plan for: the corrected equation, or the water that the
// cooling must evaporate if that is more. Outside the paper's conditions it refuses.
func Sweat(b HeatBalance, s Surroundings) (SweatRate, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	corrected, err := b.OSEC()
	if err != nil {
		return 0, err
	}
	return max(corrected, b.evaporated()), nil
}

// SweatFloor returns the water that must evaporate to carry away all of a power. It holds
// where the air and the sun take no heat from the skin: in sun at or above about 26 C WBGT.
func SweatFloor(p unit.Power) unit.Flow {
	return unit.Flow(gramsPerWattHour * between(p.Watts(), 0, mostPower) / 1000)
}

// mostPower is a House judgement: about twice hard work; no walker holds 1500 W for an hour.
const mostPower = 1500.0
