package watch

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/roll"
)

// CaseStore loads what watches are decided from.
type CaseStore interface {
	// WatchedIDs lists the hikes whose watch may be running.
	WatchedIDs(ctx context.Context) ([]ref.Hike, error)
	// WatchedOf loads those of the hikes whose watch may be running.
	WatchedOf(ctx context.Context, ids []ref.Hike) ([]roll.Watched, error)
	// WatchLogs lists logs in the order of writing.
	WatchLogs(ctx context.Context, ids []ref.Hike) (map[ref.Hike][]Logged, error)
}

// ChangeFeed reports which hikes have changed since a cursor, and the cursor to pass next
// time. all means that any hike may have changed: reload everything.
type ChangeFeed interface {
	Since(cursor uint64) (now uint64, changed []ref.Hike, all bool)
}

// CaseCache keeps the folded case of every running watch and folds one again only when
// something about it has changed. It is safe for concurrent use.
type CaseCache struct {
	store CaseStore
	feed  ChangeFeed

	mu     sync.Mutex
	cursor uint64
	cases  map[ref.Hike]Case
	listed time.Time // when the list of watched hikes was last loaded
	whole  time.Time // when everything was last loaded
	out    Cases
}

// Cases are all running watches at one time, the earliest start first. The slice is shared:
// do not modify it.
type Cases struct {
	List []Case
	// Version grows whenever a case has changed, appeared or disappeared.
	Version uint64
}

const (
	// Our judgment: the clock alone puts a hike under watch when it should have left, and two
	// seconds later is early enough.
	listEvery = 2 * time.Second
	// Our judgment: if a notification is ever lost, the cache is right again after this.
	loadEvery = 5 * time.Minute
)

// NewCaseCache returns an empty cache. If feed is nil it loads everything every time.
func NewCaseCache(store CaseStore, feed ChangeFeed) *CaseCache {
	return &CaseCache{store: store, feed: feed, cases: map[ref.Hike]Case{}}
}

// Cases returns the running watches.
func (s *CaseCache) Cases(ctx context.Context, now time.Time) (Cases, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	cursor, changed, all := s.since()
	if !all && len(changed) == 0 && now.Sub(s.listed) < listEvery {
		return s.out, nil
	}
	ids, err := s.store.WatchedIDs(ctx)
	if err != nil {
		return Cases{}, err
	}
	all = all || s.whole.IsZero() || now.Sub(s.whole) >= loadEvery
	stale := s.stale(ids, changed, all)
	if err := s.load(ctx, stale); err != nil {
		return Cases{}, err
	}
	dropped := s.dropUnwatched(ids)
	s.cursor, s.listed = cursor, now
	if all {
		s.whole = now
	}
	if len(stale) > 0 || dropped {
		s.publish()
	}
	return s.out, nil
}

func (s *CaseCache) since() (cursor uint64, changed []ref.Hike, all bool) {
	if s.feed == nil {
		return 0, nil, true
	}
	return s.feed.Since(s.cursor)
}

// stale returns the watched hikes that must be loaded.
func (s *CaseCache) stale(ids, changed []ref.Hike, all bool) []ref.Hike {
	if all {
		return ids
	}
	isChanged := map[ref.Hike]bool{}
	for _, id := range changed {
		isChanged[id] = true
	}
	return slices.DeleteFunc(slices.Clone(ids), func(id ref.Hike) bool {
		_, known := s.cases[id]
		return known && !isChanged[id]
	})
}

func (s *CaseCache) load(ctx context.Context, ids []ref.Hike) error {
	if len(ids) == 0 {
		return nil
	}
	list, err := s.store.WatchedOf(ctx, ids)
	if err != nil {
		return err
	}
	logs, err := s.store.WatchLogs(ctx, ids)
	if err != nil {
		return fmt.Errorf("logs of %d watches: %w", len(ids), err)
	}
	for _, w := range list {
		s.cases[w.Hike.ID] = CaseOf(w, logs[w.Hike.ID])
	}
	return nil
}

// dropUnwatched drops the cases that are no longer watched. It reports whether there were
// any.
func (s *CaseCache) dropUnwatched(ids []ref.Hike) bool {
	watched := map[ref.Hike]bool{}
	for _, id := range ids {
		watched[id] = true
	}
	dropped := false
	for id := range s.cases {
		if !watched[id] {
			delete(s.cases, id)
			dropped = true
		}
	}
	return dropped
}

// publish makes a new sorted list under a new version.
func (s *CaseCache) publish() {
	list := make([]Case, 0, len(s.cases))
	for _, c := range s.cases {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b Case) int {
		return cmp.Or(a.Hike.Start.Compare(b.Hike.Start), cmp.Compare(a.Hike.ID, b.Hike.ID))
	})
	s.out = Cases{List: list, Version: s.out.Version + 1}
}
