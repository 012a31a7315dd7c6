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

// ChangeFeed tells which hikes changed after a mark, and the mark that stands now; all says
// that any may have.
type ChangeFeed interface {
	Since(mark uint64) (now uint64, changed []ref.Hike, all bool)
}

// CaseCache keeps every running watch folded, and folds one anew only when something about
// it changed. It is safe for use by several goroutines.
type CaseCache struct {
	store CaseStore
	heard ChangeFeed

	mu     sync.Mutex
	mark   uint64
	cases  map[ref.Hike]Case
	listed time.Time // when it was last asked who is watched
	whole  time.Time // when everything was last loaded
	out    Cases
}

// Cases are all running watches at one time, the earliest start first. They are shared:
// nobody writes to them.
type Cases struct {
	List []Case
	// Version grows whenever a case has changed, come or gone.
	Version uint64
}

const (
	// House judgement: a hike comes under watch by the clock alone, when it should have
	// left; two seconds later is early enough.
	listEvery = 2 * time.Second
	// House judgement: should an announcement ever be lost, the truth is back after this.
	loadEvery = 5 * time.Minute
)

// NewCaseCache returns an empty store of cases. Without hearsay everything is loaded each
// time.
func NewCaseCache(store CaseStore, heard ChangeFeed) *CaseCache {
	return &CaseCache{store: store, heard: heard, cases: map[ref.Hike]Case{}}
}

// Cases returns the watches as they stand.
func (s *CaseCache) Cases(ctx context.Context, now time.Time) (Cases, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	mark, changed, all := s.since()
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
	gone := s.forget(ids)
	s.mark, s.listed = mark, now
	if all {
		s.whole = now
	}
	if len(stale) > 0 || gone {
		s.arrange()
	}
	return s.out, nil
}

func (s *CaseCache) since() (mark uint64, changed []ref.Hike, all bool) {
	if s.heard == nil {
		return 0, nil, true
	}
	return s.heard.Since(s.mark)
}

// stale are the watched hikes that are to be loaded.
func (s *CaseCache) stale(ids, changed []ref.Hike, all bool) []ref.Hike {
	if all {
		return ids
	}
	is := map[ref.Hike]bool{}
	for _, id := range changed {
		is[id] = true
	}
	return slices.DeleteFunc(slices.Clone(ids), func(id ref.Hike) bool {
		_, known := s.cases[id]
		return known && !is[id]
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

// forget drops the cases that are no longer watched.
func (s *CaseCache) forget(ids []ref.Hike) bool {
	watched := map[ref.Hike]bool{}
	for _, id := range ids {
		watched[id] = true
	}
	gone := false
	for id := range s.cases {
		if !watched[id] {
			delete(s.cases, id)
			gone = true
		}
	}
	return gone
}

func (s *CaseCache) arrange() {
	list := make([]Case, 0, len(s.cases))
	for _, c := range s.cases {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b Case) int {
		return cmp.Or(a.Hike.Start.Compare(b.Hike.Start), cmp.Compare(a.Hike.ID, b.Hike.ID))
	})
	s.out = Cases{List: list, Version: s.out.Version + 1}
}
