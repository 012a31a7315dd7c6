package track

import (
	"bufio"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Namespaces of the two versions in use (Topografix, GPX 1.0 of 2002, 1.1 of 2004).
const (
	space10 = "http://www.topografix.com/GPX/1/0"
	space11 = "http://www.topografix.com/GPX/1/1"
)

// Read reads one GPX 1.0 or 1.1 file as a stream. A file that is truncated, not GPX, beyond the limits, or has an
// impossible position gives a *ReadError. Any other error is from the reader.
//
// If a file has tracks and routes, Read uses only the tracks and says so in Recording.Notes: planning tools write the
// same trail as both, and it would count twice.
func Read(r io.Reader, lim Limits) (Recording, error) {
	g := &guard{from: r, limit: lim.Bytes}
	in := bufio.NewReader(g)
	reason := opening(in)
	if g.reason != "" {
		reason = g.reason
	}
	if g.broken != nil {
		return Recording{}, fmt.Errorf("read track: %w", g.broken)
	}
	if reason != "" {
		return Recording{}, &ReadError{Line: 1, Reason: reason}
	}
	f := &file{guard: g, dec: xml.NewDecoder(in), lim: lim, line: 1}
	f.dec.CharsetReader = decode
	if err := f.document(); err != nil {
		return Recording{}, err
	}
	return f.recording()
}

// file is the state of reading one file.
type file struct {
	guard *guard
	dec   *xml.Decoder
	lim   Limits
	space string // namespace of the root; elements of other namespaces are extensions
	line  int    // where the current token starts
	depth int
	count int

	title          string // of the file
	name           string // of the first named track, otherwise of the first named route
	tracks, routes [][]Fix
	waypoints      []Waypoint
}

func (f *file) bad(format string, args ...any) error {
	return &ReadError{Line: f.line, Reason: fmt.Sprintf(format, args...)}
}

// next returns the next token and checks the limits that apply to every token.
func (f *file) next() (xml.Token, error) {
	f.line, _ = f.dec.InputPos()
	f.guard.nextToken()
	tok, err := f.dec.Token()
	if err != nil {
		return nil, f.explain(err)
	}
	switch tok.(type) {
	case xml.StartElement:
		if f.depth++; f.depth > f.lim.Depth {
			return nil, f.bad("elements are nested deeper than %d", f.lim.Depth)
		}
	case xml.EndElement:
		f.depth--
	case xml.Directive:
		return nil, f.bad("the file declares a DOCTYPE or entities, which a GPX file never needs")
	}
	return tok, nil
}

// explain turns an error of the decoder into one for people. It returns io.EOF unchanged: that is the end of a
// complete document, and only document expects it.
func (f *file) explain(err error) error {
	line, _ := f.dec.InputPos()
	var syntax *xml.SyntaxError
	switch {
	case f.guard.reason != "":
		return &ReadError{Line: line, Reason: f.guard.reason}
	case f.guard.broken != nil:
		return fmt.Errorf("read track: %w", f.guard.broken)
	case err == io.EOF:
		return err
	case errors.As(err, &syntax) && syntax.Msg == "unexpected EOF":
		return &ReadError{Line: line, Reason: "the file ends before its last element is closed: it was cut off"}
	case errors.As(err, &syntax):
		return &ReadError{Line: syntax.Line, Reason: "not well-formed XML: " + syntax.Msg}
	}
	return &ReadError{Line: line, Reason: strings.TrimPrefix(err.Error(), "xml: ")}
}

// document reads to the end of the file: one root element, and around it only comments and blanks.
func (f *file) document() error {
	seen := false
	for {
		tok, err := f.next()
		if err == io.EOF && !seen {
			return f.bad("the file holds no gpx element")
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case xml.CharData:
			if strings.TrimSpace(string(t)) != "" {
				return f.bad("text outside the gpx element: this is not a GPX file, or two files in one")
			}
		case xml.StartElement:
			if seen {
				return f.bad("a second root element, %s, follows the first", quoted(t.Name.Local))
			}
			seen = true
			if err := f.root(t); err != nil {
				return err
			}
		}
	}
}

func (f *file) root(start xml.StartElement) error {
	if start.Name.Local != "gpx" {
		return f.bad("the root element is %s, not gpx: export the track as GPX", quoted(start.Name.Local))
	}
	f.space = start.Name.Space
	if f.space != space10 && f.space != space11 && f.space != "" {
		return f.bad("the namespace %s is not that of GPX 1.0 or 1.1", quoted(f.space))
	}
	version, given := attribute(start, "version")
	if given && version != "1.0" && version != "1.1" {
		return f.bad("GPX version %s is not read: 1.0 and 1.1 are", quoted(version))
	}
	if !given && f.space == "" {
		return f.bad("the gpx element says neither version nor namespace")
	}
	return f.children(map[string]element{
		"name":     f.text(&f.title),
		"metadata": f.in(map[string]element{"name": f.text(&f.title)}),
		"wpt":      f.waypoint,
		"trk":      f.track,
		"rte":      f.route,
	})
}

// element reads one element after its start, up to and including its end.
type element func(xml.StartElement) error

// children reads the elements inside the current one, up to its end. Elements that are
// not named, and those of other namespaces, are skipped.
func (f *file) children(named map[string]element) error {
	for {
		tok, err := f.next()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			read, ok := named[t.Name.Local]
			if !ok || t.Name.Space != f.space {
				read = f.skip
			}
			if err := read(t); err != nil {
				return err
			}
		}
	}
}

func (f *file) in(named map[string]element) element {
	return func(xml.StartElement) error { return f.children(named) }
}

func (f *file) skip(xml.StartElement) error {
	for depth := f.depth; f.depth >= depth; {
		if _, err := f.next(); err != nil {
			return err
		}
	}
	return nil
}

// recording returns what was read.
func (f *file) recording() (Recording, error) {
	rec := Recording{Name: f.name, Segments: f.tracks, Waypoints: f.waypoints}
	if rec.Name == "" {
		rec.Name = f.title
	}
	switch {
	case len(f.tracks) == 0 && len(f.routes) == 0:
		return Recording{}, f.bad("the file holds no track or route with points")
	case len(f.tracks) == 0:
		rec.Segments = f.routes
	case len(f.routes) > 0:
		rec.Notes = append(rec.Notes, fmt.Sprintf(
			"The file also holds %s, which was left out because the file holds a track.",
			counted(len(f.routes), "route")))
	}
	return rec, nil
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
