package sample

import (
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// zone is the reserve's time zone.
const zone = "America/Phoenix"

// manager is the manager of the land.
const manager = "Tarrow Basin Land Trust, reserve desk, 928-555-0190 (8 am to 4 pm). Emergencies: the local " +
	"emergency number first."

// mark is a point of a trail. Its share is the part of the line before it, 0 to 1.
type mark struct {
	share float64
	kind  trail.PointKind
	name  string
	note  string
}

// way is the layout of a trail.
type way struct {
	name, summary, meeting, signal string
	shape                          track.Shape
	surface                        walk.Surface
	cap                            int
	line                           func() []spot
	marks                          []mark
}

// Indexes of the trails in ways.
const (
	flatLoop = iota
	washLoop
	spring
	stair
	mesaRim
	ridge
	kettle
	traverse
)

// ways returns the trails, easiest first.
func ways() []way {
	return []way{creosoteFlat(), gourdWashLoop(), thimbleSeep(), cinderStair(), lanternMesaRim(), sawtailRidge(),
		kettleDrop(), basinTraverse()}
}

func creosoteFlat() way {
	return way{
		name:  "Creosote Flat Loop",
		shape: track.Loop, surface: walk.Firm, cap: 40,
		signal: "Good at the trailhead, two bars on the far side.",
		summary: "A wide, level loop on packed ground that wheels and canes manage when it is dry. The worst place " +
			"is the soft " +
			"edge beside the wash, some 50 m long. No shade but one ramada halfway.",
		meeting: "Flat Gate trailhead, paved lot at the end of Quail Fence Road. Toilets, no water.",
		line: func() []spot {
			return route(0.08, smooth(true, spot{7600, 1150}, spot{8000, 1250}, spot{8150, 1550}, spot{7900, 1800},
				spot{7500, 1780}, spot{7280, 1500}, spot{7350, 1250})...)
		},
		marks: []mark{
			{0, trail.Trailhead, "Flat Gate", "Paved lot, toilets, no water."},
			{0.26, trail.Junction, "Wash Edge corner", "Soft ground for 50 m: push, do not steer."},
			{0.52, trail.Shade, "Halfway ramada", "Benches for eight."},
			{0.74, trail.BailOut, "Service lane", "Gravel lane straight back to the lot, 400 m."},
		},
	}
}

func gourdWashLoop() way {
	return way{
		name:  "Gourd Wash Loop",
		shape: track.Loop, surface: walk.Wash, cap: 25,
		signal: "Good on the bench, none in the wash.",
		summary: "Down a wide gravel wash and back over the bench above it. The worst place is a dry fall of 2 m " +
			"that is taken sitting down; " +
			"gravel makes it slower than its length says. Not to be walked when storms are about: the wash has no " +
			"way out for 1 km.",
		meeting: "Gourd Wash trailhead, dirt lot 3 km down Old Pump Road; any car when dry.",
		line:    washLine,
		marks: []mark{
			{0, trail.Trailhead, "Gourd Wash lot", "Dirt lot for 15 cars."},
			{0.18, trail.Shade, "Leaning ironwood", "Shade for a dozen until 10 am."},
			{0.34, trail.Junction, "Dry fall", "Sit down and slide; count below it."},
			{0.5, trail.BailOut, "Cattle ramp", "Up to Old Pump Road, 700 m."},
			{0.72, trail.Regroup, "Bench cairn", "First signal after the wash."},
		},
	}
}

func thimbleSeep() way {
	return way{
		name:  "Thimble Seep",
		shape: track.OutAndBack, surface: walk.Firm, cap: 16,
		signal: "Text messages at most, past the second gate nothing.",
		summary: "Over the foothills to a seep under an overhang where ferns grow. The seep drips and is not " +
			"drinking water. The worst " +
			"place is the last 200 m, stepping up between boulders. Climbs a little both ways.",
		meeting: "Pump House trailhead at the end of Old Pump Road. No water, no toilet.",
		line: func() []spot {
			return route(0.15, smooth(false, spot{5900, 3650}, spot{5750, 4050}, spot{6000, 4500}, spot{5700, 5000},
				spot{5900, 5450}, spot{5650, 5850}, spot{5680, 6050})...)
		},
		marks: []mark{
			{0, trail.Trailhead, "Pump House", "Gravel lot, no water."},
			{0.36, trail.Junction, "Second gate", "Close it behind the sweep."},
			{0.55, trail.BailOut, "Ranch track", "Flat track back to the road, 1.8 km."},
			{0.72, trail.Shade, "Mesquite pocket", "The last shade before the seep."},
			{1, trail.Goal, "Thimble Seep", "The turning point. The water is not for drinking."},
		},
	}
}

func cinderStair() way {
	return way{
		name:  "Cinder Stair",
		shape: track.OutAndBack, surface: walk.Rocky, cap: 12,
		signal: "Good all the way.",
		summary: "Short and steep: switchbacks on loose cinder to the top of Tarrow Knob. The worst place is the " +
			"middle third, where the " +
			"grade stays above 20 % and feet slide coming down. Poles help. No shade at all.",
		meeting: "Stair trailhead, lay-by on Old Pump Road; room for eight cars, so share.",
		line: func() []spot {
			return route(0.23, spot{4000, 2350}, spot{4300, 2420}, spot{5000, 3000})
		},
		marks: []mark{
			{0, trail.Trailhead, "Stair lay-by", "Room for eight cars."},
			{0.3, trail.Junction, "Foot of the stair", "Count before the climb."},
			{0.62, trail.Regroup, "Red bench", "The only level place on the way up."},
			{1, trail.Goal, "Tarrow Knob", "Wind on most mornings."},
		},
	}
}
