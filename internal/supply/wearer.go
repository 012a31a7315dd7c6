package supply

import "math"

// wearer is what stays the same through an exposure: units of ISO 7933, that is W/m2, C,
// kPa and m2 K/W.
type wearer struct {
	air, radiant, vapour, wind, work float64
	clothing, mass, area             float64
	heatCapacity                     float64 // of the body, W min/(m2 K)
	mostSweat, mostWet               float64
	radiating                        float64 // share of the skin that radiates
	cover                            float64 // clothing area factor
	relative, walking                float64 // speeds of air over the body and of the walk
	insulation, vapourResistance     float64 // of clothing, in movement
	breathConvection, breathVapour   float64
}

// metToFlux: 1 met is 58.15 W/m2 (ISO 8996).
const metToFlux = 58.15

func newWearer(e Exposure) wearer {
	w := wearer{
		air: e.Air.Celsius(), radiant: e.Radiant.Celsius(), vapour: float64(e.Vapour) / 1000,
		wind: e.Wind.MetresPerSecond(), work: float64(e.Work) * metToFlux,
		clothing: float64(e.Clothing), mass: e.BodyMass.Kilograms(),
	}
	// DuBois and DuBois 1916; ISO 7933:2004, program: 57.83 W min/(kg K) of body mass.
	w.area = 0.202 * math.Pow(w.mass, 0.425) * math.Pow(e.BodyHeight.Metres(), 0.725)
	w.heatCapacity = 57.83 * w.mass / w.area
	w.radiating = 0.77
	if e.Sitting {
		w.radiating = 0.70
	}
	w.limits(e.Acclimatised)
	w.move(e)
	w.dress()
	// ISO 7933:2004, A.1: heat exchange by breathing.
	breath := 28.56 + 0.115*w.air + 0.641*w.vapour
	w.breathConvection = 0.001516 * w.work * (breath - w.air)
	w.breathVapour = 0.00127 * w.work * (59.34 + 0.53*w.air - 11.63*w.vapour)
	return w
}

// limits sets the most sweat and wettedness (ISO 7933:2004, annex B).
func (w *wearer) limits(acclimatised bool) {
	w.mostSweat, w.mostWet = max(250, min(400, (w.work-32)*w.area)), 0.85
	if acclimatised {
		w.mostSweat, w.mostWet = w.mostSweat*1.25, 1
	}
}

// move sets the speed of the air over the body.
func (w *wearer) move(e Exposure) {
	w.walking, w.relative = e.WalkSpeed.MetresPerSecond(), w.wind
	switch {
	case w.walking <= 0:
		// ISO 7933:2004, A.2: a walking speed that goes with the work.
		w.walking = max(0, min(0.7, 0.0052*(w.work-58)))
	case e.WalkIntoWind != 0:
		w.relative = math.Abs(w.wind - w.walking*math.Cos(e.WalkIntoWind.Radians()))
	default:
		w.relative = max(w.wind, w.walking)
	}
}

// Static figures of ISO 7933:2004: the air's layer in m2 K/W and the permeability index.
const (
	stillLayer   = 0.111
	permeability = 0.38
)

// dress sets the clothing's insulation in movement (ISO 7933:2004, A.2; ISO 9920).
func (w *wearer) dress() {
	w.cover = 1 + 0.3*w.clothing
	v, walk := min(3, w.relative), min(1.5, w.walking)
	clothed := min(1, 1.044*math.Exp((0.066*v-0.398)*v+(0.094*walk-0.378)*walk))
	nude := min(1, math.Exp((0.047*w.relative-0.472)*w.relative+(0.117*walk-0.342)*walk))
	total := clothed
	if w.clothing <= 0.6 {
		total = ((0.6-w.clothing)*nude + w.clothing*clothed) / 0.6
	}
	still := w.clothing*0.155 + stillLayer/w.cover
	moving := still * total
	w.insulation = moving - nude*stillLayer/w.cover
	index := min(0.9, permeability*((2.6*total-6.5)*total+4.9))
	w.vapourResistance = moving / index / 16.7
}

// skinBalance is the skin temperature that the body settles at: regressions of ISO
// 7933:2004, A.3, for bare and for clothed people, in between from 0.2 to 0.6 clo.
func (w wearer) skinBalance(rectal float64) float64 {
	clothed := 12.165 + 0.02017*w.air + 0.04361*w.radiant + 0.19354*w.vapour - 0.25315*w.wind +
		0.005346*w.work + 0.51274*rectal
	bare := 7.191 + 0.064*w.air + 0.061*w.radiant + 0.198*w.vapour - 0.348*w.wind + 0.616*rectal
	return bare + (clothed-bare)*max(0, min(1, 2.5*(w.clothing-0.2)))
}

// dryLoss is the heat that leaves by convection and radiation from the clothes at the
// temperature where they pass on what the skin gives.
func (w wearer) dryLoss(skin float64) float64 {
	forced := 3.5 + 5.2*w.relative
	if w.relative > 1 {
		forced = 8.7 * math.Pow(w.relative, 0.6)
	}
	convective := max(forced, 2.38*math.Pow(math.Abs(skin-w.air), 0.25))
	clothes := w.radiant + 0.1
	radiative := 0.0
	for range 100 {
		// Emissivity 0.97; the standard rounds the absolute zero to -273.
		hot, around := math.Pow(clothes+273, 4), math.Pow(w.radiant+273, 4)
		radiative = 0.97 * 5.67e-8 * w.radiating * (hot - around) / (clothes - w.radiant)
		next := (w.cover*(convective*w.air+radiative*w.radiant) + skin/w.insulation) /
			(w.cover*(convective+radiative) + 1/w.insulation)
		if math.Abs(clothes-next) <= 0.001 {
			break
		}
		clothes = (clothes + next) / 2
	}
	return w.cover * (convective*(clothes-w.air) + radiative*(clothes-w.radiant))
}
