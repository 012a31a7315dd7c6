package supply

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/unit"
)

// Clo is clothing insulation: 1 clo is 0.155 m2 K/W. Light trousers and a shirt are 0.5.
type Clo float64

// Exposure is one steady stay in heat, for Strain.
type Exposure struct {
	Air, Radiant   unit.Temperature // Radiant is the mean of all around
	Vapour         unit.Pressure
	Wind           unit.Speed
	Work           METs
	Clothing       Clo
	Sitting        bool
	WalkSpeed      unit.Speed // zero: taken from the work
	WalkIntoWind   unit.Angle // between walk and wind, with a WalkSpeed; zero: any direction
	Acclimatised   bool
	BodyMass       unit.Mass
	BodyHeight     unit.Length
	ExposedMinutes int
}

// StandardExposure returns the standard's own person, 75 kg and 1.80 m, for eight hours.
func StandardExposure() Exposure {
	return Exposure{BodyMass: 75, BodyHeight: 1.80, ExposedMinutes: 480}
}

// Strained is what an exposure does to the body.
type Strained struct {
	Loss          unit.Mass        // water lost in all
	Rectal        unit.Temperature // at the end
	LossLimitMean time.Duration    // until 7.5 % of the body mass is lost: half of people
	LossLimitMost time.Duration    // until 5 % is lost: 95 of 100 people
	RectalLimit   time.Duration    // until 38 C; a limit not reached is the whole stay
}

// Rate returns the mean water loss an hour over a stay.
func (s Strained) Rate(e Exposure) unit.Flow {
	return unit.Flow(s.Loss.Kilograms() * 60 / float64(e.ExposedMinutes))
}

// Strain returns the predicted heat strain of ISO 7933:2004, minute by minute: a second
// opinion on water for a desk, since it takes no sun but through Radiant and knows no
// hills. Formulas from memory of the standard's annex A and its program (annex E); its ten
// worked cases stand in the tests. It refuses, by name, what the standard does not cover.
func Strain(e Exposure) (Strained, error) {
	if err := e.check(); err != nil {
		return Strained{}, err
	}
	w := newWearer(e)
	b := bodyAtRest()
	s := Strained{}
	for minute := 1; minute <= e.ExposedMinutes; minute++ {
		b = w.minute(b)
		s.note(b, w, time.Duration(minute)*time.Minute)
	}
	s.settle(b, w, time.Duration(e.ExposedMinutes)*time.Minute)
	return s, nil
}

// Range of ISO 7933:2004, table A.1, as coded in validation software: the standard makes no
// promise outside of it. Mass, height and time: House judgement, an adult and a day.
func (e Exposure) check() error {
	limits := []struct {
		name             string
		value, low, high float64
	}{
		{"air temperature, C", e.Air.Celsius(), 15, 50},
		{"radiant temperature above the air, K", float64(e.Radiant - e.Air), 0, 60},
		// Nor more than saturated air holds; 2 % for formulas that differ.
		{"vapour pressure, Pa", float64(e.Vapour), 0, min(4500, 1020*saturationKPa(e.Air.Celsius()))},
		{"wind, m/s", e.Wind.MetresPerSecond(), 0, 3},
		{"work, METs", float64(e.Work), 1.7, 7.5},
		{"clothing, clo", float64(e.Clothing), 0.1, 1},
		{"walking speed, m/s", e.WalkSpeed.MetresPerSecond(), 0, 3},
		{"angle of walk and wind, degrees", e.WalkIntoWind.Degrees(), 0, 360},
		{"body mass, kg", e.BodyMass.Kilograms(), 30, 200},
		{"body height, m", e.BodyHeight.Metres(), 1, 2.3},
		{"minutes", float64(e.ExposedMinutes), 1, 24 * 60},
	}
	for _, l := range limits {
		if !(l.value >= l.low && l.value <= l.high) {
			return fmt.Errorf("%s: %g is not between %g and %g", l.name, l.value, l.low, l.high)
		}
	}
	return nil
}

// note marks the limits that a minute passes.
func (s *Strained) note(b body, w wearer, now time.Duration) {
	first := func(at *time.Duration, reached bool) {
		if *at == 0 && reached {
			*at = now
		}
	}
	// ISO 7933:2004, annex B: 7.5 % and 5 % of the body mass, rectal temperature 38 C.
	grams := w.grams(b)
	first(&s.LossLimitMean, grams >= 0.075*w.mass*1000)
	first(&s.LossLimitMost, grams >= 0.050*w.mass*1000)
	first(&s.RectalLimit, b.rectal >= 38)
}

func (s *Strained) settle(b body, w wearer, stay time.Duration) {
	s.Loss = unit.Mass(w.grams(b)) * unit.Gram
	s.Rectal = unit.Celsius(b.rectal)
	for _, at := range []*time.Duration{&s.LossLimitMean, &s.LossLimitMost, &s.RectalLimit} {
		if *at == 0 {
			*at = stay
		}
	}
}

// body is the state from one minute to the next: temperatures in C, sweat in W/m2.
type body struct {
	skin, core, rectal, resting float64 // resting: the core's balance for the work alone
	coreShare                   float64 // of the mass, at skin temperature
	sweat, lost                 float64
}

// ISO 7933:2004, program: the body at the start.
func bodyAtRest() body {
	return body{skin: 34.1, core: 36.8, rectal: 36.8, resting: 36.8, coreShare: 0.3}
}

// grams turns the lost W/m2 minutes to grams: 2.67 kJ/g over the program's factor for 1.8 m2.
func (w wearer) grams(b body) float64 { return b.lost * 2.67 * w.area / 1.8 / 60 }

// minute carries the body through one minute (ISO 7933:2004, annex A and program).
func (w wearer) minute(was body) body {
	now := was
	// Core balance for the work, time constant 10 min.
	now.resting = ease(was.resting, 0.0036*w.work+36.6, 10)
	stored := w.heatCapacity * (now.resting - was.resting) * (1 - was.coreShare)
	now.skin = ease(was.skin, w.skinBalance(was.rectal), 3)
	dry := w.dryLoss(now.skin)
	// No evaporation into air as moist as the skin; the program's 0.001 spares a zero.
	most := max(0.001, (saturationKPa(now.skin)-w.vapour)/w.vapourResistance)
	required := max(0, w.work-stored-w.breathConvection-w.breathVapour-dry)
	now.sweat = ease(was.sweat, w.sweatFor(required, most), 10)
	evaporated := w.evaporates(now.sweat, most)
	now.core, now.coreShare = w.core(was, now.skin, required-evaporated+stored)
	now.rectal = was.rectal + (2*now.core-1.962*was.rectal-1.31)/9
	now.lost += now.sweat + w.breathVapour
	return now
}

// ease is exponential averaging with a time constant in minutes.
func ease(was, toward, minutes float64) float64 {
	keep := math.Exp(-1 / minutes)
	return was*keep + toward*(1-keep)
}

// saturationKPa is the water vapour pressure of the standard, kPa.
func saturationKPa(c float64) float64 { return 0.6105 * math.Exp(17.27*c/(c+237.3)) }

// core solves the core temperature that stores the heat: the skin's share of the mass falls
// from 0.3 at 36.8 C to 0.1.
func (w wearer) core(was body, skin, storage float64) (core, share float64) {
	guess := was.core
	for range 100 {
		share = max(0.1, min(0.3, 0.3-0.09*(guess-36.8)))
		core = storage/w.heatCapacity + was.skin*was.coreShare/2 - skin*share/2
		core = (core + was.core*(1-was.coreShare/2)) / (1 - share/2)
		if math.Abs(core-guess) <= 0.001 {
			break
		}
		guess = (guess + core) / 2
	}
	return core, share
}

// sweatFor returns the sweat that the required evaporation takes, at the efficiency of a
// skin so wet.
func (w wearer) sweatFor(required, most float64) float64 {
	wet := required / most
	switch {
	case required <= 0:
		return 0
	case wet >= 1.7:
		return w.mostSweat
	case wet > 1:
		return min(w.mostSweat, required/((2-wet)*(2-wet)/2))
	default:
		return min(w.mostSweat, required/(1-wet*wet/2))
	}
}

// evaporates returns what of the sweat evaporates.
func (w wearer) evaporates(sweat, most float64) float64 {
	if sweat <= 0 {
		return 0
	}
	k, wet := most/sweat, 1.0
	if k >= 0.5 {
		wet = -k + math.Sqrt(k*k+2)
	}
	return min(wet, w.mostWet) * most
}
