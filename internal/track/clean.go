package track

import (
	"math"
	"slices"
	"time"

	"saltbush/internal/unit"
)

// counts says what cleaning did; notes.go puts it into words.
type counts struct {
	fixes    int
	repeats  int
	spikes   int
	long     int // steps that were counted in a straight line
	gaps     int
	skipped  unit.Length // straight-line length of the gaps
	noHeight int         // fixes without a usable height
	stretch  unit.Length // longest way without a height
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

// dropRepeats makes fixes that repeat the one before into one, whose height is the mean
// of theirs. It works in place.
func dropRepeats(segment []Fix, c *counts) []Fix {
	kept := segment[:0]
	heights := 0.0 // how many are in the last kept fix
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

// repeats compares latitudes first, which is cheap and settles most: a radian is over
// 6,000 km, so these differ by more than six centimeters.
func repeats(a, b Fix) bool {
	const farther = 1e-8
	if math.Abs(float64(a.At.Lat-b.At.Lat)) > farther {
		return false
	}
	return a.At.DistanceTo(b.At) <= repeatWithin
}

// dropSpikes leaves out fixes that lie an impossible jump away, when the track comes
// back within a few readings. A jump without a way back is kept: it may be the truth.
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

// dropColdStart leaves out the first readings when the track leaves them at an impossible
// speed: the device had not found its place yet. Without times it may be a drawn line.
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

// impossible reports a jump that no walker makes: by its speed where both fixes have
// times, else by its length beside the usual step.
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

// mostCompared bounds what a median is taken of: some hundreds, evenly spread, are
// enough to know what is usual.
const mostCompared = 500

// median sorts its argument.
func median(v []unit.Length) unit.Length {
	slices.Sort(v)
	return v[len(v)/2]
}

// withHeights copies the segment without heights that are a device's mark for "unknown".
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

// zeroMeansUnknown reports whether a height of exactly zero cannot be the sea's: all
// heights are zero, or the usual one is far from it.
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

// Settings of the cleaning. They are stored here, in one place, because a climb without
// its filter means nothing: Ranacher et al. 2016 (IJGIS 30(2):316-333) show that
// distance from noisy fixes is biased long and from sparse fixes short, and for white
// height noise sigma over n points the naive climb is 0.5642 sigma (n-1).
const (
	// Our judgment: positions are written to seven decimals (1 cm) by most devices,
	// so two fixes closer than this are the same fix written twice.
	repeatWithin = 1 * unit.Centimetre

	// Our judgment: two recordings that end and start this close are one walk with a
	// pause, not a gap. About two standard deviations of a phone's fix under open sky.
	joinWithin = 20 * unit.Metre

	// Our judgment: a run for a bus is 5 m/s and a fast descent of a bicycle 15 m/s.
	// Nothing that left and came back faster than this was a person on a trail.
	spikeSpeed = 15 * unit.MetrePerSecond

	// Our judgment: jumps below this are jitter, which the smoothing takes care of.
	spikeAtLeast = 50 * unit.Metre

	// Our judgment: without times, a jump counts as impossible when it is this many
	// times the usual step of the recording. A turning point of a drawn route is not.
	spikeSteps = 15

	// Our judgment: a bad fix lasts a few readings; longer and it was a real place.
	spikeFixes = 5

	// Our judgment: a step this long in one recording is a lost signal. It is counted
	// in a straight line, since leaving it out would make the walk too short, and noted.
	longStep = 500 * unit.Metre

	// Our judgment: where fixes lie closer than this along the way, as many of them as
	// make it are averaged. A walker does not turn within eight meters; jitter does.
	denseStep = 8 * unit.Metre

	// Our judgment: fixes within this radius of the mean of the ones before become one
	// place. With denseStep and placeWindow found by trial on a real walk at one fix a
	// second: whole, thinned 1 in 2 to 1 in 20, and with 3 m of noise, its length stays
	// within 2 %. Lengths between 8 and 12 m do nearly as well.
	clusterRadius = 10 * unit.Metre

	// Our judgment: positions are smoothed by a weighted line over this much of the way
	// on both sides. Fixes farther apart than this are left exactly where they are, so a
	// drawn route keeps its corners; switchbacks closer than this lose some length.
	placeWindow = 20 * unit.Metre

	// Our judgment: heights need the wider window, because a phone's height is two to
	// three times worse than its place. By the same trial: 30 to 60 m give climbs within
	// 3 % of each other; wider ones shave off summits.
	heightWindow = 40 * unit.Metre

	// Our judgment: after the smoothing, a rise or fall counts only when the line has
	// moved this far from its last turning point. At 3 m of noise the smoothed line
	// wanders by about 1 m, and the step must be three of those or more.
	heightStep = 5 * unit.Metre

	// Shore of the Dead Sea, about -430 m, and summit of Everest, 8849 m (joint survey
	// 2020), with a margin: heights outside are a device's mark for "unknown".
	heightLowest  = -500 * unit.Metre
	heightHighest = 9000 * unit.Metre

	// Our judgment: a height of exactly zero is "unknown" where the walk's usual
	// height is farther from sea level than this.
	zeroHeightFrom = 100 * unit.Metre

	// Our judgment: a profile keeps at most about this many samples, far more than a
	// screen or a plan can use.
	maxSamples = 2000

	// Our judgment: legs of at least this length; shorter ones would have slopes made
	// of what noise is left.
	legLength = 50 * unit.Metre

	// The steepest stretch is judged over this length: long enough to be felt by
	// everyone in the group, and longer than what smoothing leaves of the noise.
	steepLength = 100 * unit.Metre
)
