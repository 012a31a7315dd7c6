package track_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// endless gives a head and then the same bytes again and again, up to size.
type endless struct {
	head, again string
	size        int
	given       int
}

func (e *endless) Read(p []byte) (int, error) {
	if e.given >= e.size {
		return 0, io.EOF
	}
	n := 0
	for n < len(p) && e.given < e.size {
		from := e.again
		if e.given < len(e.head) {
			from = e.head[e.given:]
		} else {
			from = from[(e.given-len(e.head))%len(from):]
		}
		k := copy(p[n:], from)
		n += k
		e.given += k
	}
	return n, nil
}

// Nothing a stranger sends may cost more memory than this, whatever its size. Peak is
// watched by sampling the heap every millisecond while Read runs, garbage included.
func TestReadBoundsMemory(t *testing.T) {
	const most = 64 << 20
	const size = 100 << 20
	small := int64(8 << 20) // enough where nothing is kept, and sooner over
	tests := []struct {
		name, head, again, reason string
		bytes                     int64
	}{
		{"points", open11 + "<trk><trkseg>", `<trkpt lat="33.123456" lon="-112.123456"><ele>512.3</ele></trkpt>` + "\n",
			"more than 250000 points", 32 << 20},
		{"points with long names", open11 + "<rte>",
			`<rtept lat="33" lon="-112"><name>` + strings.Repeat("n", 150) + `</name></rtept>`, "larger than 32 MiB",
			32 << 20},
		{"waypoints with long names", open11, `<wpt lat="33" lon="-112"><name>` + strings.Repeat("n", 150) +
			`</name></wpt>`, "more than 5000 waypoints", 32 << 20},
		{"skipped elements", open11 + "<extensions>", "<a>text</a>", "larger than 8 MiB", small},
		{"one attribute", open11 + `<trk name="`, "x", "longer than 64 KiB", 32 << 20},
		{"one attribute of brackets", open11 + `<trk name="`, "&lt;>", "longer than 64 KiB", 32 << 20},
		{"one tag of many attributes", open11 + "<trk ", `a="b" `, "longer than 64 KiB", 32 << 20},
		{"one tag name", open11 + "<trk", "x", "longer than 64 KiB", 32 << 20},
		{"one comment", open11 + "<!-- ", "<a>", "longer than 64 KiB", 32 << 20},
		{"one text", open11 + "<trk><name>", "x", "longer than 64 KiB", 32 << 20},
		{"one CDATA", open11 + "<trk><name><![CDATA[", "<a>", "longer than 64 KiB", 32 << 20},
		{"one text in comments' pieces", open11 + "<trk><name>", "xxxxxxxxxxxxxxxxxxxx<!-- -->",
			"larger than 8 MiB", small},
		{"one DOCTYPE", "<!DOCTYPE gpx [", "<!ENTITY a 'b'>", "longer than 64 KiB", 32 << 20},
		{"one processing instruction", "<?xml ", "x", "longer than 64 KiB", 32 << 20},
		{"one Latin-1 text", `<?xml version="1.0" encoding="latin1"?>` + open10 + "<name>", "\xe9",
			"longer than 64 KiB", 32 << 20},
		{"blanks before the root", " ", " ", "longer than 64 KiB", 32 << 20},
		{"nested deep", open11, "<a>", "deeper than 32", 32 << 20},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lim := track.DefaultLimits()
			lim.Bytes = tt.bytes
			peak := watchHeap()
			_, err := track.Read(&endless{head: tt.head, again: tt.again, size: size}, lim)
			grown := peak()
			var bad *track.ReadError
			if !errors.As(err, &bad) || !strings.Contains(bad.Reason, tt.reason) {
				t.Errorf("Read: %v, want a ReadError with %q", err, tt.reason)
			}
			if grown > most {
				t.Errorf("heap grew by %d MiB, want under %d", grown>>20, most>>20)
			}
			t.Logf("heap grew by %.1f MiB", float64(grown)/(1<<20))
		})
	}
}

// watchHeap starts to sample; the function it returns gives the growth of the peak.
func watchHeap() func() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	before, peak := m.HeapAlloc, m.HeapAlloc
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-stop:
				return
			case <-time.After(time.Millisecond):
				runtime.ReadMemStats(&m)
				peak = max(peak, m.HeapAlloc)
			}
		}
	}()
	return func() uint64 {
		close(stop)
		<-done
		runtime.ReadMemStats(&m)
		return max(peak, m.HeapAlloc) - before
	}
}

// tenThousand is a winding 10,000-point walk with fixes so many meters apart.
func tenThousand(step float64) track.Recording {
	r := rand.New(rand.NewPCG(1, 1))
	var fixes []track.Fix
	x, y := 0.0, 0.0
	for i := range 10_000 {
		heading := math.Sin(float64(i) / 50)
		x, y = x+step*math.Sin(heading), y+step*math.Cos(heading)
		fixes = append(fixes,
			fix(x+r.NormFloat64(), y+r.NormFloat64(), 500+100*math.Sin(float64(i)/800)+r.NormFloat64()))
	}
	return recorded(fixes)
}

// The floor beside BenchmarkNewProfile: one pass of distances.
func BenchmarkDistances(b *testing.B) {
	fixes := tenThousand(1.2).Segments[0]
	var sum unit.Length
	for b.Loop() {
		for i := 1; i < len(fixes); i++ {
			sum += fixes[i-1].At.DistanceTo(fixes[i].At)
		}
	}
	if sum == 0 {
		b.Fatal("no distance")
	}
}

func BenchmarkNewProfile(b *testing.B) {
	for name, step := range map[string]float64{"every 1.2 m": 1.2, "every 12 m": 12} {
		rec := tenThousand(step)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := track.NewProfile(rec, track.OutAndBack); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRead(b *testing.B) {
	var file bytes.Buffer
	if err := track.Write(&file, tenThousand(1.2)); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(file.Len()))
	for b.Loop() {
		if _, err := track.Read(bytes.NewReader(file.Bytes()), track.DefaultLimits()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStore(b *testing.B) {
	p := profile(b, tenThousand(12), track.OneWay)
	data, err := p.MarshalBinary()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(data))/float64(len(p.Samples)), "bytes/sample")
	for b.Loop() {
		var got track.Profile
		if err := got.UnmarshalBinary(data); err != nil {
			b.Fatal(err)
		}
	}
}
