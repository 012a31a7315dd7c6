package sample

import (
	"math"

	"saltbush/internal/unit"
)

// spot is a place in meters east and north of the reserve's south-west corner.
type spot struct{ x, y float64 }

func (a spot) minus(b spot) spot             { return spot{a.x - b.x, a.y - b.y} }
func (a spot) plus(b spot) spot              { return spot{a.x + b.x, a.y + b.y} }
func (a spot) times(f float64) spot          { return spot{a.x * f, a.y * f} }
func (a spot) dot(b spot) float64            { return a.x*b.x + a.y*b.y }
func (a spot) cross(b spot) float64          { return a.x*b.y - a.y*b.x }
func (a spot) length() float64               { return math.Hypot(a.x, a.y) }
func (a spot) toward(b spot, f float64) spot { return a.plus(b.minus(a).times(f)) }

// The south-west corner of the reserve, in empty desert, and the length of a degree there.
// Our judgment: one degree of a sphere of 6371 km is precise enough for invented land.
const (
	cornerLat       = 33.36
	cornerLon       = -112.97
	metersPerDegree = 111200.0
)

// position returns the coordinates of a spot.
func (a spot) position() unit.Position {
	east := metersPerDegree * math.Cos(cornerLat*math.Pi/180)
	return unit.At(cornerLat+a.y/metersPerDegree, cornerLon+a.x/east)
}

// The landforms of the reserve follow. All figures are invented.

// crest is the line of Sawtail Ridge from its low west end.
func crest() []spot {
	return []spot{{1900, 5400}, {3000, 6000}, {4100, 6350}, {5300, 6500}, {6500, 7100}, {7400, 7900}}
}

// canyon is the floor of Kettle Drop Canyon from its head to its mouth.
func canyon() []spot {
	return []spot{{9700, 9700}, {9350, 8900}, {9800, 8100}, {9450, 7300}, {9900, 6500}, {9600, 5600}, {10050, 4800}}
}

// gourdWash is the bed of Gourd Wash, downhill from the east.
func gourdWash() []spot {
	return []spot{{5200, 1500}, {4600, 1050}, {3900, 1250}, {3200, 850}, {2500, 1000}, {1700, 650}, {900, 700}}
}

// knob is a round hill. Its height and width are in meters.
type knob struct {
	at            spot
	height, width float64
}

// knobs are Tarrow Knob and the foothills south of the ridge.
func knobs() []knob {
	return []knob{
		{spot{5000, 3000}, 330, 480},
		{spot{2300, 3700}, 60, 380}, {spot{3500, 4300}, 75, 420}, {spot{6500, 4700}, 85, 500},
		{spot{7600, 5500}, 70, 450}, {spot{1200, 4900}, 50, 400}, {spot{8100, 3700}, 45, 420},
	}
}

// mesa is Lantern Mesa, which is flat with a steep, uneven edge.
func mesa() knob { return knob{spot{12000, 3000}, 190, 1150} }

// height returns the elevation of the ground at a spot, in meters.
func height(p spot) float64 {
	h := 405 + 0.011*p.y + 0.004*p.x
	h += ridgeHeight(p) + benchHeight(p) + mesaHeight(p)
	for _, k := range knobs() {
		h += bell(p.minus(k.at).length(), k.height, k.width)
	}
	far, along := nearest(canyon(), p)
	h -= bell(far, (0.8*benchHeight(p)+15)*rise(along, 0, 2100), 330)
	bed, _ := nearest(gourdWash(), p)
	return h - bell(bed, 7, 55) + rough(p)
}

func ridgeHeight(p spot) float64 {
	far, along := nearest(crest(), p)
	saddles := 1 + 0.16*math.Sin(along/410) + 0.07*math.Sin(along/170+1)
	return bell(far, 290*saddles, 520) * (0.55 + 0.45*rise(along, 0, 2600))
}

// benchHeight is the height of the plateau in the north-east, into which the canyon is cut.
func benchHeight(p spot) float64 {
	return 460 * rise(p.y, 5600, 8600) * rise(p.x, 6800, 8800)
}

func mesaHeight(p spot) float64 {
	m := mesa()
	d := p.minus(m.at)
	angle := math.Atan2(d.y, d.x)
	edge := m.width * (1 + 0.07*math.Sin(3*angle+0.6) + 0.04*math.Sin(7*angle))
	return m.height / (1 + math.Exp((d.length()-edge)/95))
}

// rough adds swells a few meters high, smaller in the flat south.
func rough(p spot) float64 {
	swell := 3.2*math.Sin(p.x/97+1.3*math.Sin(p.y/240)) + 2.6*math.Sin(p.y/83+1.1*math.Sin(p.x/310)) +
		1.2*math.Sin((p.x+p.y)/41)
	return swell * (0.12 + 0.88*rise(p.y, 1500, 4200))
}

// bell returns the height of a hill at a distance from its middle line.
func bell(far, height, width float64) float64 {
	return height * math.Exp(-far*far/(2*width*width))
}

// rise goes smoothly from 0 at a to 1 at b.
func rise(v, a, b float64) float64 {
	t := max(0, min(1, (v-a)/(b-a)))
	return t * t * (3 - 2*t)
}

// nearest returns the distance of a spot from a line, and the distance along the line to the
// nearest point.
func nearest(line []spot, p spot) (far, along float64) {
	far = math.Inf(1)
	start := 0.0
	for i := 1; i < len(line); i++ {
		leg := line[i].minus(line[i-1])
		f := max(0, min(1, p.minus(line[i-1]).dot(leg)/leg.dot(leg)))
		if d := p.minus(line[i-1].plus(leg.times(f))).length(); d < far {
			far, along = d, start+f*leg.length()
		}
		start += leg.length()
	}
	return far, along
}

// uphill returns the gradient of the ground: it points straight uphill, and its length is the
// slope.
func uphill(p spot) spot {
	const reach = 8.0 // Our judgment: a little less than a step of the route.
	return spot{
		(height(spot{p.x + reach, p.y}) - height(spot{p.x - reach, p.y})) / (2 * reach),
		(height(spot{p.x, p.y + reach}) - height(spot{p.x, p.y - reach})) / (2 * reach),
	}
}
