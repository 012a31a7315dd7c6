package track

import (
	"math"
	"slices"
	"time"

	"saltbush/internal/unit"
)

// counts is what cleaning did; notes.go puts it into words.
type counts struct {
	fixes    int
	repeats  int
	spikes   int
	long     int // steps counted in a straight line
	gaps     int
	skipped  unit.Length // straight-line length of the gaps
	noHeight int         // fixes without a usable height
	stretch  unit.Length // longest distance without a height
}

func finite(l unit.Length) bool {
	return !math.IsNaN(float64(l)) && !math.IsInf(float64(l), 0)
}

// runs returns the recording as unbroken runs of clean fixes.
func runs(rec Recording, c *counts) [][]Fix {
	var joined [][]Fix
	zeroIsUnknown := zeroMeansUnknown(rec.Segments)
	for _, segment := range rec.Segments {
		c.fixes += len(segment)
		run := dropRepeats(withHeights(segment, zeroIsUnknown), c)
		run = dropColdStart(dropSpikes(run, c), c)
		last := len(joined) - 1
		switch {
		case len(run) == 0:
		case last >= 0 && adjoins(joined[last], run):
			joined[last] = append(joined[last], run...)
		default:
			joined = append(joined, run)
		}
	}
	for i := 1; i < len(joined); i++ {
		c.gaps++
		c.skipped += end(joined[i-1]).At.DistanceTo(joined[i][0].At)
	}
	for _, run := range joined {
		for _, fix := range run {
			if !fix.HasElevation {
				c.noHeight++
			}
		}
	}
	return joined
}

func end(run []Fix) Fix { return run[len(run)-1] }

func adjoins(before, after []Fix) bool {
	return end(before).At.DistanceTo(after[0].At) <= joinWithin
}

// dropRepeats merges fixes that repeat the one before, with the mean of their heights. It works in place.
func dropRepeats(segment []Fix, c *counts) []Fix {
	kept := segment[:0]
	heights := 0.0 // number of heights in the last kept fix
	for _, fix := range segment {
		last := len(kept) - 1
		if last < 0 || !repeats(kept[last], fix) {
			kept, heights = append(kept, fix), 0
			if fix.HasElevation {
				heights = 1
			}
			continue
		}
		c.repeats++
		if fix.HasElevation {
			heights++
			kept[last].Elevation += (fix.Elevation - kept[last].Elevation) / unit.Length(heights)
			kept[last].HasElevation = true
		}
	}
	return kept
}

// repeats compares latitudes first, which is cheap and decides most cases: a radian is over 6,000 km, so these differ
// by more than six centimeters.
func repeats(a, b Fix) bool {
	const farther = 1e-8
	if math.Abs(float64(a.At.Lat-b.At.Lat)) > farther {
		return false
	}
	return a.At.DistanceTo(b.At) <= repeatWithin
}

// dropSpikes removes fixes that are an impossible jump away if the track comes back within a few readings. A jump
// without a way back stays: it may be real.
func dropSpikes(run []Fix, c *counts) []Fix {
	if len(run) < 3 {
		return run
	}
	jump := max(spikeAtLeast, spikeSteps*medianStep(run))
	kept := run[:1]
	for i := 1; i < len(run); i++ {
		last := end(kept)
		if last.At.DistanceTo(run[i].At) > spikeAtLeast {
			back := wayBack(last, run[i:], jump)
			c.spikes += back
			i += back
			if last.At.DistanceTo(run[i].At) > longStep {
				c.long++
			}
		}
		kept = append(kept, run[i])
	}
	return kept
}

// dropColdStart removes the first readings if the track leaves them at an impossible speed: the device did not know
// its position yet. Without times they stay, since the track may be drawn.
func dropColdStart(run []Fix, c *counts) []Fix {
	for i := min(spikeFixes, len(run)-2); i > 0; i-- {
		a, b := run[i-1], run[i]
		if !a.Time.IsZero() && !b.Time.IsZero() && impossible(a, b, 0) {
			c.spikes += i
			return run[i:]
		}
	}
	return run
}

// wayBack returns how many of the fixes after last are a spike: 0 when the first is none.
func wayBack(last Fix, rest []Fix, jump unit.Length) int {
	if !impossible(last, rest[0], jump) {
		return 0
	}
	for n := 1; n <= spikeFixes && n < len(rest); n++ {
		if !impossible(last, rest[n], jump) && impossible(rest[n-1], rest[n], jump) {
			return n
		}
	}
	return 0
}

// impossible reports whether no walker makes a jump: by its speed if both fixes have times, otherwise by its length
// compared with the usual step.
func impossible(a, b Fix, jump unit.Length) bool {
	d := a.At.DistanceTo(b.At)
	if a.Time.IsZero() || b.Time.IsZero() {
		return d > jump
	}
	return d > spikeAtLeast && d > unit.Length(spikeSpeed.MetresPerSecond()*seconds(a.Time, b.Time))
}

func seconds(a, b time.Time) float64 { return math.Abs(b.Sub(a).Seconds()) }

func medianStep(run []Fix) unit.Length {
	var steps []unit.Length
	for i := 1; i < len(run); i += 1 + len(run)/mostCompared {
		steps = append(steps, run[i-1].At.DistanceTo(run[i].At))
	}
	return median(steps)
}

// mostCompared limits the values for a median: some hundreds, evenly spread, are enough.
const mostCompared = 500

// median sorts its argument.
func median(v []unit.Length) unit.Length {
	slices.Sort(v)
	return v[len(v)/2]
}

// withHeights copies the segment without heights that a device writes for "unknown".
func withHeights(segment []Fix, zeroIsUnknown bool) []Fix {
	out := slices.Clone(segment)
	for i := range out {
		h := out[i].Elevation
		known := h >= heightLowest && h <= heightHighest && !(zeroIsUnknown && h == 0)
		if !known || !out[i].HasElevation {
			out[i].Elevation, out[i].HasElevation = 0, false
		}
	}
	return out
}

// zeroMeansUnknown reports whether a height of exactly zero cannot be sea level: all heights are zero, or the usual
// one is far from it.
func zeroMeansUnknown(segments [][]Fix) bool {
	points := Recording{Segments: segments}.Points()
	var some []unit.Length // heights, about evenly spread
	n := 0
	for _, run := range segments {
		for _, fix := range run {
			if !fix.HasElevation || fix.Elevation == 0 {
				continue
			}
			if n%(1+points/mostCompared) == 0 {
				some = append(some, fix.Elevation)
			}
			n++
		}
	}
	if len(some) == 0 {
		return true
	}
	return math.Abs(median(some).Metres()) > zeroHeightFrom.Metres()
}

// Settings of the cleaning. They are all here because a climb means nothing without its filter: Ranacher et al. 2016
// (IJGIS 30(2):316-333) show that distance from noisy fixes is biased long and from sparse fixes short, and for white
// height noise sigma over n points the naive climb is 0.5642 sigma (n-1).
const (
	// Our judgment: positions are written to seven decimals (1 cm) by most devices,
	// so two fixes closer than this are the same fix written twice.
	repeatWithin = 1 * unit.Centimetre

	// Our judgment: two recordings are one walk with a pause, not a gap, if one starts this close to the end of the
	// other. About two standard deviations of a phone's position under open sky.
	joinWithin = 20 * unit.Metre

	// Our judgment: running for a bus is 5 m/s and a fast descent on a bicycle 15 m/s. Nobody on a trail leaves and
	// comes back faster than this.
	spikeSpeed = 15 * unit.MetrePerSecond

	// Our judgment: jumps below this are jitter, which the smoothing removes.
	spikeAtLeast = 50 * unit.Metre

	// Our judgment: without times, a jump is impossible if it is this many times the usual step of the recording. The
	// corners of a drawn route are not.
	spikeSteps = 15

	// Our judgment: a bad position lasts a few readings; a longer one is real.
	spikeFixes = 5

	// Our judgment: a step this long within one recording is a lost signal. It counts in a straight line, since
	// leaving it out would make the walk too short, and is noted.
	longStep = 500 * unit.Metre

	// Our judgment: where fixes are closer than this along the way, as many are averaged as cover it. A walker does
	// not turn within eight meters; jitter does.
	denseStep = 8 * unit.Metre

	// Our judgment: fixes within this radius of the mean of those before become one place. This, denseStep and
	// placeWindow were found by trial on a real walk at one fix a second: complete, thinned 1 in 2 to 1 in 20, and
	// with 3 m of noise, its length stays within 2 %. Values between 8 and 12 m do nearly as well.
	clusterRadius = 10 * unit.Metre

	// Our judgment: positions are smoothed by a weighted line over this distance on both sides. Fixes farther apart
	// than this stay exactly where they are, so a drawn route keeps its corners. Switchbacks closer than this lose
	// some length.
	placeWindow = 20 * unit.Metre

	// Our judgment: heights need the wider window, because a phone's height is two to three times less accurate than
	// its position. In the same trial 30 to 60 m gave climbs within 3 % of each other; wider ones cut off summits.
	heightWindow = 40 * unit.Metre

	// Our judgment: after the smoothing, a rise or fall counts only if the line has moved this far from its last
	// turning point. With 3 m of noise the smoothed line wanders by about 1 m, and the step must be at least three
	// times that.
	heightStep = 5 * unit.Metre

	// The shore of the Dead Sea, about -430 m, and the summit of Everest, 8849 m (joint survey 2020), with a margin.
	// Devices write heights outside these for "unknown".
	heightLowest  = -500 * unit.Metre
	heightHighest = 9000 * unit.Metre

	// Our judgment: a height of exactly zero is "unknown" if the usual height of the walk is farther from sea level
	// than this.
	zeroHeightFrom = 100 * unit.Metre

	// Our judgment: a profile has at most about this many samples, far more than a screen or a plan can use.
	maxSamples = 2000

	// Our judgment: legs have at least this length; the slopes of shorter ones would be noise.
	legLength = 50 * unit.Metre

	// The steepest stretch has this length: long enough for everyone in the group to feel it, and longer than the
	// noise that is left after smoothing.
	steepLength = 100 * unit.Metre
)
