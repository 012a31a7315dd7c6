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
// 6,000 km, so these differ by more than six centimetres.
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
