package sample

import (
	"bytes"
	"fmt"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// recording returns the trail as a GPS device would have recorded it.
func (w way) recording() track.Recording {
	line := w.line()
	rec := track.Recording{Name: w.name, Segments: [][]track.Fix{make([]track.Fix, 0, len(line))}}
	for _, p := range line {
		rec.Segments[0] = append(rec.Segments[0],
			track.Fix{At: p.position(), Elevation: unit.Length(height(p)), HasElevation: true})
	}
	for _, m := range w.marks {
		rec.Waypoints = append(rec.Waypoints,
			track.Waypoint{Name: m.name, Symbol: string(m.kind), At: along(line, m.share).position()})
	}
	return rec
}

// Track is the file of a trail that a leader would upload.
type Track struct {
	Name string
	GPX  []byte
}

// Tracks returns the files of the eight trails, easiest first. They never change.
func Tracks() ([]Track, error) {
	var out []Track
	for _, w := range ways() {
		var file bytes.Buffer
		if err := track.Write(&file, w.recording()); err != nil {
			return nil, fmt.Errorf("write track %q: %w", w.name, err)
		}
		out = append(out, Track{Name: w.name, GPX: file.Bytes()})
	}
	return out, nil
}

// trails reads the tracks as uploads are read, and returns them as trails with their files.
func trails(created time.Time) ([]trail.Trail, []Track, error) {
	files, err := Tracks()
	if err != nil {
		return nil, nil, err
	}
	list := make([]trail.Trail, len(files))
	for i, w := range ways() {
		if list[i], err = w.trail(files[i].GPX, created); err != nil {
			return nil, nil, fmt.Errorf("trail %q: %w", w.name, err)
		}
	}
	return list, files, nil
}

func (w way) trail(gpx []byte, created time.Time) (trail.Trail, error) {
	rec, err := track.Read(bytes.NewReader(gpx), track.DefaultLimits())
	if err != nil {
		return trail.Trail{}, err
	}
	profile, err := track.NewProfile(rec, w.shape)
	if err != nil {
		return trail.Trail{}, err
	}
	t := trail.Trail{Name: w.name, Summary: w.summary, Zone: zone, Surface: w.surface, Meeting: w.meeting,
		Manager:   manager,
		PermitCap: w.cap, Signal: w.signal, Profile: profile, Created: created}
	t.Points, _ = trail.PointsFromWaypoints(profile, rec.Waypoints)
	for i := range t.Points {
		t.Points[i].Note = w.note(t.Points[i].Name)
	}
	return t, t.Validate()
}

func (w way) note(name string) string {
	for _, m := range w.marks {
		if m.name == name {
			return m.note
		}
	}
	return ""
}
