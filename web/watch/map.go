package watch

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
	"saltbush/web/chart"
	"saltbush/web/watch/view"
)

// mapCache caches the trails whose maps the board shows, and the maps. Profiles are long, and
// change only when somebody edits a trail.
type mapCache struct {
	mu     sync.Mutex
	trails map[ref.Trail]cachedTrail
	drawn  map[format.System]drawnMaps
	// drawing is held while the maps are drawn.
	drawing sync.Mutex
}

// drawnMaps are all maps in one system of units, with the board they were drawn for.
type drawnMaps struct {
	of   *drawnBoard
	made time.Time
	maps []view.BoardMap
}

type cachedTrail struct {
	trail.Trail
	read time.Time
}

const (
	// Our judgment: a change to a trail while a party is on it may take this long to show.
	trailKeeps = 5 * time.Minute
	// Our judgment: more marks than this hide the line and each other.
	maxMarks = 24
)

// Our judgment: people walk, so a few seconds make no difference to where they were counted.
const mapsKeep = 5 * time.Second

// mapsOf returns the maps for a drawing of the board, or for one of a moment ago.
func (s *Handlers) mapsOf(ctx context.Context, d *drawnBoard, u format.System) ([]view.BoardMap, error) {
	k := &s.board.maps
	if m, ok := k.cached(u); ok && m.serves(d) {
		return m.maps, nil
	}
	if !k.drawing.TryLock() {
		// Waiting for somebody else's drawing would give hardly newer maps.
		if m, ok := k.cached(u); ok && len(m.of.rows) == len(d.rows) {
			return m.maps, nil
		}
		k.drawing.Lock()
	}
	defer k.drawing.Unlock()
	if m, ok := k.cached(u); ok && m.serves(d) {
		return m.maps, nil
	}
	maps, err := s.boardMaps(ctx, d.cases, u)
	if err != nil {
		return nil, err
	}
	k.store(u, drawnMaps{d, time.Now(), maps})
	return maps, nil
}

// serves reports whether the maps may be shown with a drawing of the board.
func (m drawnMaps) serves(d *drawnBoard) bool {
	return m.of == d || time.Since(m.made) < mapsKeep && len(m.of.rows) == len(d.rows)
}

func (k *mapCache) cached(u format.System) (drawnMaps, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	m, ok := k.drawn[u]
	return m, ok
}

func (k *mapCache) store(u format.System, m drawnMaps) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.drawn == nil {
		k.drawn = map[format.System]drawnMaps{}
	}
	k.drawn[u] = m
}

// boardMaps draws each trail that somebody is on, with where each party was last counted.
func (s *Handlers) boardMaps(ctx context.Context, cases []watch.Case, u format.System) ([]view.BoardMap, error) {
	on := map[ref.Trail][]watch.Case{}
	var order []ref.Trail
	for _, c := range cases {
		if c.State.Departed.IsZero() || c.State.AllAccounted {
			continue
		}
		if on[c.Hike.Trail] == nil {
			order = append(order, c.Hike.Trail)
		}
		on[c.Hike.Trail] = append(on[c.Hike.Trail], c)
	}
	var maps []view.BoardMap
	for _, id := range order {
		t, err := s.mapTrail(ctx, id)
		if err != nil {
			return nil, err
		}
		maps = append(maps, boardMap(t, on[id], s.Now(), u))
	}
	return maps, nil
}

func (s *Handlers) mapTrail(ctx context.Context, id ref.Trail) (trail.Trail, error) {
	k := &s.board.maps
	k.mu.Lock()
	defer k.mu.Unlock()
	if t, ok := k.trails[id]; ok && s.Now().Sub(t.read) < trailKeeps {
		return t.Trail, nil
	}
	t, err := s.Hikes.Trail(ctx, id)
	if err != nil {
		return t, err
	}
	if k.trails == nil {
		k.trails = map[ref.Trail]cachedTrail{}
	}
	k.trails[id] = cachedTrail{t, s.Now()}
	return t, nil
}

// boardMap marks where each party was last counted, the most urgent parties first.
func boardMap(t trail.Trail, cases []watch.Case, now time.Time, u format.System) view.BoardMap {
	slices.SortStableFunc(cases, func(a, b watch.Case) int { return b.Phase(now).Urgency() - a.Phase(now).Urgency() })
	m := view.BoardMap{Title: t.Name}
	if more := len(cases) - maxMarks; more > 0 {
		m.Note = format.Count(more, "party", "parties") +
			" more on this trail, less urgent, stand in the list above only."
		cases = cases[:maxMarks]
	}
	var points []chart.DrawnPoint
	for _, c := range cases {
		along, words := lastPlace(t, c)
		points = append(points, chart.DrawnPoint{Kind: format.OrElse(string(c.Phase(now)), "no plan"),
			Name: c.Hike.Title + ": " + words, Along: along})
	}
	m.Map = chart.NewMapDrawing(t.Profile, points, u)
	return m
}

// lastPlace returns where a party was last counted right, along the track and in words.
func lastPlace(t trail.Trail, c watch.Case) (unit.Length, string) {
	zone := c.Hike.Start.Location()
	last, ok := c.State.LastAgreed()
	if !ok {
		return 0, "not counted since it left at " + format.Clock(c.State.Departed, zone)
	}
	return alongOf(t, last.Along, last.Place), fmt.Sprintf("%d at %s, %s", last.Expected, party.PlaceWords(last.Place),
		format.Clock(last.At, zone))
}

// alongOf returns the distance of a place along the track, by the point of its name if along
// is zero.
func alongOf(t trail.Trail, along unit.Length, place string) unit.Length {
	i := slices.IndexFunc(t.Points, func(p trail.Point) bool { return p.Name == place })
	if along != 0 || i < 0 {
		return along
	}
	return t.Points[i].Along
}
