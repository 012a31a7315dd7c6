package track

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// storeVersion is the first byte of a stored profile. A change of the layout gets the
// next number, and reading keeps the old ones.
const storeVersion = 1

var errStored = errors.New("not a stored profile, or a damaged one")

var shapeCodes = []Shape{OneWay, OutAndBack, Loop}

// MarshalBinary stores the profile in about eight bytes a sample. Places keep 1e-7
// degrees, distances and heights a centimeter, which is what NewProfile gives, so a
// profile comes back equal to the digit.
func (p Profile) MarshalBinary() ([]byte, error) {
	e := encoder{out: []byte{storeVersion}}
	code := -1
	for i, s := range shapeCodes {
		if s == p.Shape {
			code = i
		}
	}
	if code < 0 {
		return nil, fmt.Errorf("store profile: %q is not a shape of walk", p.Shape)
	}
	e.int(int64(code))
	e.flag(p.HasElevation)
	for _, v := range p.figures() {
		e.float(*v)
	}
	e.float(unit.Length(p.Steepest))
	e.int(int64(len(p.Notes)))
	for _, n := range p.Notes {
		e.int(int64(len(n)))
		e.out = append(e.out, n...)
	}
	e.samples(p.Samples)
	return e.out, nil
}

// figures lists the lengths that are stored as they are.
func (p *Profile) figures() []*unit.Length {
	return []*unit.Length{
		&p.Length, &p.Ascent, &p.Descent, &p.Lowest, &p.Highest, &p.SteepestFrom, &p.SteepestTo,
	}
}

// UnmarshalBinary reads what MarshalBinary stored. Damaged data leaves p as it was.
func (p *Profile) UnmarshalBinary(data []byte) error {
	if len(data) == 0 {
		return errStored
	}
	if data[0] != storeVersion {
		return fmt.Errorf("profile is stored in version %d, this program reads version %d", data[0], storeVersion)
	}
	d := decoder{in: data[1:]}
	var out Profile
	if code := d.int(); code >= 0 && code < int64(len(shapeCodes)) {
		out.Shape = shapeCodes[code]
	} else {
		return errStored
	}
	out.HasElevation = d.flag()
	for _, v := range out.figures() {
		*v = d.float()
	}
	out.Steepest = unit.Slope(d.float())
	for n := d.count(1); n > 0; n-- {
		out.Notes = append(out.Notes, string(d.bytes(d.count(1))))
	}
	out.Samples = d.samples()
	if d.damaged || len(d.in) > 0 {
		return errStored
	}
	*p = out
	return nil
}

type encoder struct{ out []byte }

func (e *encoder) int(v int64) { e.out = binary.AppendVarint(e.out, v) }

func (e *encoder) float(v unit.Length) {
	e.out = binary.LittleEndian.AppendUint64(e.out, math.Float64bits(float64(v)))
}

func (e *encoder) flag(v bool) {
	if v {
		e.int(1)
		return
	}
	e.int(0)
}

// row is a sample in whole ticks; rows are stored as differences.
type row struct{ along, lat, lon, height int64 }

func rowOf(s Sample) row {
	return row{centimeters(s.Along), ticks(s.At.Lat), ticks(s.At.Lon), centimeters(s.Elevation)}
}

func centimeters(l unit.Length) int64 { return int64(math.Round(l.Metres() * 100)) }

func (e *encoder) samples(samples []Sample) {
	e.int(int64(len(samples)))
	var last row
	for _, s := range samples {
		r := rowOf(s)
		e.int(r.along - last.along)
		e.int(r.lat - last.lat)
		e.int(r.lon - last.lon)
		e.int(r.height - last.height)
		e.flag(s.Gap)
		last = r
	}
}

type decoder struct {
	in      []byte
	damaged bool
}

func (d *decoder) int() int64 {
	v, n := binary.Varint(d.in)
	if n <= 0 {
		d.damaged, d.in = true, nil
		return 0
	}
	d.in = d.in[n:]
	return v
}

func (d *decoder) flag() bool { return d.int() == 1 }

// count reads how many things of at least each bytes follow, and trusts it no further
// than there are bytes left.
func (d *decoder) count(each int) int {
	n := d.int()
	if n < 0 || n > int64(len(d.in)/each) {
		d.damaged, d.in = true, nil
		return 0
	}
	return int(n)
}

func (d *decoder) bytes(n int) []byte {
	if n > len(d.in) {
		d.damaged, d.in = true, nil
		return nil
	}
	b := d.in[:n]
	d.in = d.in[n:]
	return b
}

func (d *decoder) float() unit.Length {
	b := d.bytes(8)
	if b == nil {
		return 0
	}
	return unit.Length(math.Float64frombits(binary.LittleEndian.Uint64(b)))
}

func (d *decoder) samples() []Sample {
	n := d.count(5)
	samples := make([]Sample, 0, n)
	var at row
	for range n {
		at.along += d.int()
		at.lat += d.int()
		at.lon += d.int()
		at.height += d.int()
		samples = append(samples, Sample{
			Along: unit.Length(float64(at.along) / 100), At: fromTicks(at.lat, at.lon),
			Elevation: unit.Length(float64(at.height) / 100), Gap: d.flag(),
		})
	}
	return samples
}
