package storybook_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltbush/assets"
	"saltbush/internal/format"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/web/chart"
	"saltbush/web/storybook"
)

// sharedTrack reads a recorded track from the data beside the repository.
func sharedTrack(t *testing.T, name string) track.Recording {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "..", "shared", "data", "tracks", name))
	if err != nil {
		t.Skip("no recorded tracks beside the repository")
	}
	defer f.Close()
	rec, err := track.Read(f, track.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

func sharedProfile(t *testing.T, name string, shape track.Shape) track.Profile {
	t.Helper()
	p, err := track.NewProfile(sharedTrack(t, name), shape)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestDrawingShots writes the drawings as pages to look at into the folder that DRAWING_SHOTS
// names.
func TestDrawingShots(t *testing.T) {
	dir := os.Getenv("DRAWING_SHOTS")
	if dir == "" {
		t.Skip("DRAWING_SHOTS names no folder")
	}
	css, err := os.ReadFile("../../assets/app.css")
	if err != nil {
		t.Fatal(err)
	}
	write(t, dir, "app.css", string(css))
	pages := storybook.DrawingStates()
	for name, shape := range map[string]track.Shape{"hike-montana-1hz": track.Loop, "lake-ride-gap": track.OneWay,
		"ridge-trek": track.OutAndBack} {
		p := sharedProfile(t, name+".gpx", shape)
		points := []chart.DrawnPoint{{Kind: "trailhead", Name: "Gate", Along: 0},
			{Kind: "junction", Name: "Fork", Along: p.Far() * 3 / 10},
			{Kind: "shade", Name: "Tall trees", Along: p.Far()*3/10 + 20*unit.Metre},
			{Kind: "goal", Name: "Viewpoint", Along: p.Far()}}
		pages = append(pages,
			storybook.StatePage{Name: "real-" + name, Component: storybook.DrawnWalk(p, points, format.Metric)})
	}
	for _, p := range pages {
		var b strings.Builder
		if err := p.Component.Render(t.Context(), &b); err != nil {
			t.Fatal(err)
		}
		write(t, dir, p.Name+".html", strings.ReplaceAll(b.String(), assets.Path("app.css"), "app.css"))
	}
}

func write(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}
