package track

import (
	"bufio"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"saltbush/internal/unit"
)

// Write writes a recording as GPX 1.1, all segments in one track. Places are written to
// eight decimals (1 mm) and heights to the millimeter. A recording that Read would refuse
// is refused before anything is written.
func Write(w io.Writer, rec Recording) error {
	if err := writable(rec); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%s<gpx version=\"1.1\" creator=\"saltbush\" xmlns=%q>\n", xml.Header, space11)
	for _, p := range rec.Waypoints {
		writeWaypoint(out, p)
	}
	out.WriteString("<trk>\n")
	writeText(out, "name", rec.Name)
	for _, s := range rec.Segments {
		writeSegment(out, s)
	}
	out.WriteString("</trk>\n</gpx>\n")
	return out.Flush() // the buffer keeps the first error
}

func writable(rec Recording) error {
	if rec.Points() == 0 {
		return errors.New("a recording without points cannot be written")
	}
	for i, s := range rec.Segments {
		for j, fix := range s {
			if !fix.At.Valid() {
				return fmt.Errorf("point %d of segment %d is off the globe", j+1, i+1)
			}
			if fix.HasElevation && !finite(fix.Elevation) {
				return fmt.Errorf("the height of point %d of segment %d is not a number", j+1, i+1)
			}
		}
	}
	for i, p := range rec.Waypoints {
		if !p.At.Valid() {
			return fmt.Errorf("waypoint %d is off the globe", i+1)
		}
	}
	return nil
}

func writeSegment(out *bufio.Writer, fixes []Fix) {
	if len(fixes) == 0 {
		return
	}
	out.WriteString("<trkseg>\n")
	for _, fix := range fixes {
		writePlace(out, "trkpt", fix.At)
		if fix.HasElevation {
			writeText(out, "ele", decimals(fix.Elevation.Metres(), 3))
		}
		if !fix.Time.IsZero() {
			writeText(out, "time", fix.Time.UTC().Format(time.RFC3339Nano))
		}
		out.WriteString("</trkpt>\n")
	}
	out.WriteString("</trkseg>\n")
}

func writeWaypoint(out *bufio.Writer, p Waypoint) {
	writePlace(out, "wpt", p.At)
	writeText(out, "name", p.Name)
	writeText(out, "sym", p.Symbol)
	out.WriteString("</wpt>\n")
}

func writePlace(out *bufio.Writer, name string, at unit.Position) {
	fmt.Fprintf(out, "<%s lat=\"%s\" lon=\"%s\">", name,
		decimals(at.Lat.Degrees(), 8), decimals(at.Lon.Degrees(), 8))
}

func writeText(out *bufio.Writer, name, text string) {
	if text == "" {
		return
	}
	fmt.Fprintf(out, "<%s>", name)
	_ = xml.EscapeText(out, []byte(text)) // the buffer keeps the error
	fmt.Fprintf(out, "</%s>", name)
}

func decimals(v float64, places int) string {
	return strconv.FormatFloat(v, 'f', places, 64)
}
