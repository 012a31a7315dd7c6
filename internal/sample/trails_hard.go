package sample

import (
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

func lanternMesaRim() way {
	return way{
		name:  "Lantern Mesa Rim",
		shape: track.Loop, surface: walk.Rocky, cap: 16,
		signal: "Good on the west rim, none on the east.",
		summary: "Up the west face by switchbacks and around the rim of the mesa. The worst place is the face " +
			"itself, 190 m up on " +
			"broken rock with a drop beside it for some 60 m. The rim has no shade from nine to four.",
		meeting: "Mesa trailhead, graded road, 9 km past Flat Gate. High clearance after rain.",
		line:    rimLine,
		marks: []mark{
			{0.002, trail.Trailhead, "Mesa lot", "Graded lot, no water."},
			{0.13, trail.Junction, "Top of the face", "Count; turn left."},
			{0.33, trail.Shade, "Window rock", "Shade for six until noon."},
			{0.5, trail.BailOut, "North gully", "Steep, 1.1 km to the graded road."},
			{0.68, trail.Goal, "East point", "The farthest place; no signal."},
		},
	}
}

func sawtailRidge() way {
	return way{
		name:  "Sawtail Ridge",
		shape: track.OutAndBack, surface: walk.Rocky, cap: 16,
		signal: "One bar on the crest.",
		summary: "Up to the crest and along its teeth to the high point, back the same way. The worst place is the " +
			"second tooth: hands are " +
			"used for 15 m. In the sun and the wind for all of it; nowhere to hide from lightning.",
		meeting: "Ridge Foot trailhead, 5 km down Sawtail Road, any car.",
		line: func() []spot {
			return joined(
				route(0.17, spot{1500, 4600}, spot{1750, 5000}, spot{2450, 5700}),
				route(0.2, smooth(false, spot{2450, 5700}, spot{3000, 6000}, spot{3550, 6170}, spot{4100, 6350},
					spot{4700, 6440}, spot{5250, 6500})...))
		},
		marks: []mark{
			{0, trail.Trailhead, "Ridge Foot", "Lot for 20 cars."},
			{0.3, trail.Junction, "Crest gate", "The way along the crest begins."},
			{0.45, trail.Regroup, "First tooth", "Wait for everyone before the hands-on part."},
			{0.62, trail.BailOut, "Low saddle", "South gully to the foothill track, 1.6 km, loose."},
			{1, trail.Goal, "High Tooth", "The turning point."},
		},
	}
}

func kettleDrop() way {
	return way{
		name:  "Kettle Drop Canyon",
		shape: track.OutAndBack, surface: walk.Rocky, cap: 0,
		signal: "",
		summary: "Down from the rim to the kettles in the canyon floor: the way back is the climb, at the hottest " +
			"time. The worst " +
			"place is the last 250 m up to the rim in the sun. In summer the floor is hotter than the rim by several " +
			"degrees.",
		meeting: "Kettle Rim trailhead, 14 km of graded road; allow 40 minutes from the highway.",
		line: func() []spot {
			return joined(
				route(0.16, spot{8750, 9250}, spot{9000, 9150}, spot{9420, 8750}),
				route(0.14, smooth(false, spot{9420, 8750}, spot{9800, 8100}, spot{9470, 7300}, spot{9880, 6500},
					spot{9620, 5650}, spot{10000, 4850})...))
		},
		marks: []mark{
			{0, trail.Trailhead, "Kettle Rim", "High and cool in the morning; the heat waits below."},
			{0.2, trail.Junction, "Floor sign", "Count; read the turnaround time aloud."},
			{0.42, trail.Shade, "Long overhang", "Shade on the east side until 11 am."},
			{0.62, trail.Regroup, "Two boulders", ""},
			{1, trail.Goal, "The kettles", "Usually dry. Turn here at the latest."},
		},
	}
}

func basinTraverse() way {
	return way{
		name:  "Basin Traverse",
		shape: track.OneWay, surface: walk.Firm, cap: 16,
		signal: "Patches on the foothills and the bench; none on the pass.",
		summary: "All the way from the wash to Kettle Rim, one way, with cars left at both ends. The worst place is " +
			"the long climb to the pass and then " +
			"the bench, when legs are tired and the sun is high. Very long for one day here: for people who walk " +
			"every week.",
		meeting: "Gourd Wash lot at first light; the shuttle to Kettle Rim is set the evening before.",
		line: func() []spot {
			return joined(
				route(0.14, smooth(false, spot{1100, 900}, spot{2200, 1700}, spot{1300, 2600}, spot{2200, 3300},
					spot{2900, 3900}, spot{3600, 4600}, spot{4300, 5200})...),
				route(0.17, spot{4300, 5200}, spot{4750, 6420}, spot{5200, 7500}),
				route(0.15, smooth(false, spot{5200, 7500}, spot{6100, 8300}, spot{7000, 8700})...),
				route(0.15, spot{7000, 8700}, spot{7900, 8600}, spot{8750, 9250}))
		},
		marks: []mark{
			{0, trail.Trailhead, "Gourd Wash lot", "Dirt lot; the walk ends elsewhere."},
			{0.16, trail.Junction, "Ridge road crossing", "Count; a car can reach this place."},
			{0.3, trail.BailOut, "Foothill track", "To Ridge Foot, 2.2 km, level."},
			{0.38, trail.Shade, "Palo verde bend", "The last shade before the pass."},
			{0.55, trail.Regroup, "Tooth pass", "No going back from here in the heat: decide."},
			{0.78, trail.Junction, "Bench tank", "Dry stock tank."},
			{1, trail.Goal, "Kettle Rim end", "The cars of the shuttle."},
		},
	}
}
