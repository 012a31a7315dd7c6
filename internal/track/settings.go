package track

import "saltbush/internal/unit"

// Settings of the cleaning. They are stored here, in one place, because a climb without
// its filter means nothing: Ranacher et al. 2016 (IJGIS 30(2):316-333) show that
// distance from noisy fixes is biased long and from sparse fixes short, and for white
// height noise sigma over n points the naive climb is 0.5642 sigma (n-1).
const (
	// House judgement: positions are written to seven decimals (1 cm) by most devices,
	// so two fixes closer than this are the same fix written twice.
	repeatWithin = 1 * unit.Centimetre

	// House judgement: two recordings that end and start this close are one walk with a
	// pause, not a gap. About two standard deviations of a phone's fix under open sky.
	joinWithin = 20 * unit.Metre

	// House judgement: a run for a bus is 5 m/s and a fast descent of a bicycle 15 m/s.
	// Nothing that left and came back faster than this was a person on a trail.
	spikeSpeed = 15 * unit.MetrePerSecond

	// House judgement: jumps below this are jitter, which the smoothing takes care of.
	spikeAtLeast = 50 * unit.Metre

	// House judgement: without times, a jump counts as impossible when it is this many
	// times the usual step of the recording. A turning point of a drawn route is not.
	spikeSteps = 15

	// House judgement: a bad fix lasts a few readings; longer and it was a real place.
	spikeFixes = 5

	// House judgement: a step this long in one recording is a lost signal. It is counted
	// in a straight line, since leaving it out would make the walk too short, and noted.
	longStep = 500 * unit.Metre

	// House judgement: where fixes lie closer than this along the way, as many of them as
	// make it are averaged. A walker does not turn within eight metres; jitter does.
	denseStep = 8 * unit.Metre

	// House judgement: fixes within this radius of the mean of the ones before become one
	// place. With denseStep and placeWindow found by trial on a real walk at one fix a
	// second: whole, thinned 1 in 2 to 1 in 20, and with 3 m of noise, its length stays
	// within 2 %. Lengths between 8 and 12 m do nearly as well.
	clusterRadius = 10 * unit.Metre

	// House judgement: positions are smoothed by a weighted line over this much of the way
	// on both sides. Fixes farther apart than this are left exactly where they are, so a
	// drawn route keeps its corners; switchbacks closer than this lose some length.
	placeWindow = 20 * unit.Metre

	// House judgement: heights need the wider window, because a phone's height is two to
	// three times worse than its place. By the same trial: 30 to 60 m give climbs within
	// 3 % of each other; wider ones shave off summits.
	heightWindow = 40 * unit.Metre

	// House judgement: after the smoothing, a rise or fall counts only when the line has
	// moved this far from its last turning point. At 3 m of noise the smoothed line
	// wanders by about 1 m, and the step must be three of those or more.
	heightStep = 5 * unit.Metre

	// Shore of the Dead Sea, about -430 m, and summit of Everest, 8849 m (joint survey
	// 2020), with a margin: heights outside are a device's mark for "unknown".
	heightLowest  = -500 * unit.Metre
	heightHighest = 9000 * unit.Metre

	// House judgement: a height of exactly zero is "unknown" where the walk's usual
	// height is farther from sea level than this.
	zeroHeightFrom = 100 * unit.Metre

	// House judgement: a profile keeps at most about this many samples, far more than a
	// screen or a plan can use.
	maxSamples = 2000

	// House judgement: legs of at least this length; shorter ones would have slopes made
	// of what noise is left.
	legLength = 50 * unit.Metre

	// The steepest stretch is judged over this length: long enough to be felt by
	// everyone in the group, and longer than what smoothing leaves of the noise.
	steepLength = 100 * unit.Metre
)
