package track

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/text"
	"saltbush/internal/unit"
)

// nameRunes bounds a name. Our judgment: longer ones are descriptions gone astray.
const nameRunes = 200

// maxWaypoints bounds what names may cost in memory. Our judgment: a trail has a
// handful of them, and a whole season's collection some hundreds.
const maxWaypoints = 5000

func attribute(e xml.StartElement, name string) (string, bool) {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return strings.TrimSpace(a.Value), true
		}
	}
	return "", false
}

// quoted shows a value of the file, cut to a length that fits a message.
func quoted(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "..."
	}
	return strconv.Quote(s)
}

// text reads an element's text into a string that is still empty.
func (f *file) text(into *string) element {
	return func(xml.StartElement) error {
		s, err := f.content()
		if *into == "" {
			*into = s
		}
		return err
	}
}

// content reads the text of the current element up to its end, blanks made single.
func (f *file) content() (string, error) {
	var b strings.Builder
	for {
		tok, err := f.next()
		if err != nil {
			return "", err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return tidy(b.String()), nil
		case xml.StartElement:
			if err := f.skip(t); err != nil {
				return "", err
			}
		case xml.CharData:
			if b.Len() < 4*nameRunes {
				b.Write(t)
			}
		}
	}
}

func tidy(s string) string {
	s = text.Line(s)
	if r := []rune(s); len(r) > nameRunes {
		s = strings.TrimSpace(string(r[:nameRunes]))
	}
	return strings.Clone(s)
}

// track reads a trk: its name, and each trkseg as a segment.
func (f *file) track(xml.StartElement) error {
	var name string
	before := len(f.tracks)
	err := f.children(map[string]element{
		"name": f.text(&name),
		"trkseg": func(xml.StartElement) error {
			return f.segment("trkpt", nil, &f.tracks)
		},
	})
	if len(f.tracks) > before && (f.name == "" || before == 0) && name != "" {
		f.name = name // a track's name before that of a route read earlier
	}
	return err
}

// route reads a rte: its name and its points as one segment.
func (f *file) route(xml.StartElement) error {
	var name string
	before := len(f.routes)
	err := f.segment("rtept", f.text(&name), &f.routes)
	if len(f.routes) > before && f.name == "" {
		f.name = name
	}
	return err
}

// segment reads the points of the current element. An empty segment is none.
func (f *file) segment(pointName string, name element, into *[][]Fix) error {
	var fixes []Fix
	named := map[string]element{
		pointName: func(start xml.StartElement) error {
			fix, err := f.fix(start)
			fixes = append(fixes, fix)
			return err
		},
	}
	if name != nil {
		named["name"] = name
	}
	err := f.children(named)
	if len(fixes) > 0 {
		*into = append(*into, fixes)
	}
	return err
}

func (f *file) fix(start xml.StartElement) (Fix, error) {
	var fix Fix
	var err error
	if fix.At, err = f.position(start); err != nil {
		return fix, err
	}
	for {
		tok, err := f.next()
		if err != nil {
			return fix, err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return fix, nil
		case xml.StartElement:
			if err := f.detail(t, &fix); err != nil {
				return fix, err
			}
		}
	}
}

// detail reads one element of a point.
func (f *file) detail(start xml.StartElement, fix *Fix) error {
	line := f.line
	if start.Name.Space != f.space || (start.Name.Local != "ele" && start.Name.Local != "time") {
		return f.skip(start)
	}
	s, err := f.content()
	if err != nil || s == "" {
		return err
	}
	if start.Name.Local == "time" {
		fix.Time = instant(s)
		return nil
	}
	v, ok := number(s)
	if !ok {
		f.line = line
		return f.bad("elevation %s is not a number", quoted(s))
	}
	fix.Elevation, fix.HasElevation = unit.Length(v), true
	return nil
}

// position reads lat and lon, and counts the point against the limit.
func (f *file) position(start xml.StartElement) (unit.Position, error) {
	if f.count++; f.count > f.lim.Points {
		return unit.Position{}, f.bad("the file holds more than %d points", f.lim.Points)
	}
	lat, err := f.coordinate(start, "lat", "latitude", 90)
	if err != nil {
		return unit.Position{}, err
	}
	lon, err := f.coordinate(start, "lon", "longitude", 180)
	return unit.At(lat, lon), err
}

func (f *file) coordinate(start xml.StartElement, name, word string, most float64) (float64, error) {
	s, given := attribute(start, name)
	if !given {
		return 0, f.bad("a %s has no %s", start.Name.Local, word)
	}
	v, ok := number(s)
	if !ok {
		return 0, f.bad("%s %s is not a number", word, quoted(s))
	}
	if math.Abs(v) > most {
		return 0, f.bad("%s %s is off the globe", word, strings.Trim(quoted(s), `"`))
	}
	return v, nil
}

// number reads an xsd:decimal, with exponents allowed since some devices write them.
// Words such as NaN, hexadecimal and infinities are no numbers.
func number(s string) (float64, bool) {
	if strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// instant reads a time. GPX says UTC, so one without a zone is UTC. Times are only a help
// to find bad fixes: one that cannot be read is as good as none.
func instant(s string) time.Time {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t.UTC()
		}
	}
	return time.Time{}
}

func (f *file) waypoint(start xml.StartElement) error {
	at, err := f.position(start)
	if err != nil {
		return err
	}
	if len(f.waypoints) == maxWaypoints {
		return f.bad("the file holds more than %d waypoints", maxWaypoints)
	}
	w := Waypoint{At: at}
	err = f.children(map[string]element{"name": f.text(&w.Name), "sym": f.text(&w.Symbol)})
	f.waypoints = append(f.waypoints, w)
	return err
}
