package plan

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// anyRoute draws a hilly walk on a drawn day.
func anyRoute(t *rapid.T) *route {
	d := anyDay(t)
	d.forecast.DewPoint = min(d.forecast.DewPoint, d.forecast.Low-5) // no fog: see the table's bound
	length := rapid.Float64Range(500, 8000).Draw(t, "length")
	swing := rapid.Float64Range(0, 60).Draw(t, "swing of the hills")
	var fixes []track.Fix
	for x := 0.0; x <= length; x += 25 {
		fixes = append(fixes, track.Fix{At: unit.At(d.place.Lat.Degrees()+x/111_000, -112), HasElevation: true,
			Elevation: d.trailhead + 100 + unit.Length(swing*math.Sin(x/400))})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	r, err := newRoute(Input{
		Profile: p, Surface: walk.Firm, Forecast: d.forecast, Rules: rules.DefaultRules().Planning,
		Start: d.light.Noon.Add(time.Duration(rapid.IntRange(-400, 200).Draw(t, "minute")) * time.Minute),
		Party: walk.Party{Participants: rapid.IntRange(0, 20).Draw(t, "participants"), Staff: 1},
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// What a start meets, against a plain walk along the legs with the balance solved at each.
func TestMeetingIsThatOfAPlainWalk(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		m := r.simulate(r.in.Start)
		peak := unit.Temperature(-100)
		for _, q := range []unit.Fraction{half, nineInTen} {
			for i, leg := range r.march.legs {
				at, err := r.day.exact(r.in.Start.Add(r.march.estimate.Elapsed(i, q)), leg.Elevation)
				if err != nil {
					rt.Fatal(err)
				}
				peak = max(peak, at)
			}
		}
		// The table's bound, and as much again for a stability class that changes.
		if off := math.Abs(float64(peak - m.wbgt)); off > 0.2 && peak >= 20 || off > 0.7 {
			rt.Fatalf("peak %.2f C, plain walk %.2f C", m.wbgt, peak)
		}
	})
}

// The hours of a passage, against adding up the walk second by second.
func TestHoursAreMeansOverAnHour(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		p := r.passages[rapid.IntRange(0, 1).Draw(rt, "quantile")]
		h := p.hours[rapid.IntRange(0, len(p.hours)-1).Draw(rt, "hour")]
		end := p.stations[h.last].after
		work, piece := 0.0, 0
		const step = 0.5
		for s := end - h.span + step/2; s < end; s += step {
			for p.stations[piece].after < s {
				piece++
			}
			took := p.stations[piece].after - p.began(piece)
			work += r.march.worked(piece, took) / took * step
		}
		if want := work / h.span; math.Abs(want-h.power.Watts()) > 0.01*want {
			rt.Fatalf("hour that ends after %.0f s: %.1f W, second by second %.1f W", end, h.power.Watts(), want)
		}
		if h.exposure != heat.ExposureLimit(h.power) || h.alert != heat.AlertLimit(h.power) {
			rt.Fatalf("limits %v and %v do not go with %v W", h.exposure, h.alert, h.power)
		}
		if last := p.hours[len(p.hours)-1]; p.stations[last.last].after != p.end() {
			rt.Fatalf("the last hour ends after %.0f s, the walk after %.0f", p.stations[last.last].after, p.end())
		}
	})
}

// The off-by time, against looking at every ten seconds of the day.
func TestOffByIsTheFirstHotMoment(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRoute(rt)
		from := r.table.seconds(r.in.Start)
		got := r.offBy(from)
		s := r.table.spot(r.lowest)
		for at := from; at < float64(r.table.rows-1)*rowSeconds; at += 10 {
			n := r.table.at(at, s)
			if n.wbgt <= r.limit && n.felt+slack < r.in.Rules.Ladder.CancelFrom {
				continue
			}
			if got.IsZero() || math.Abs(r.table.seconds(got)-at) > 11 {
				rt.Fatalf("off by %s, first hot moment %s", got, r.table.moment(at))
			}
			return
		}
		if !got.IsZero() && r.table.seconds(got) < float64(r.table.rows-1)*rowSeconds-10 {
			rt.Fatalf("off by %s, but no moment is hot", got)
		}
	})
}
