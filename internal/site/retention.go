package site

import (
	"context"
	"time"
)

// deletionEvery is how often we check whether the daily run is due.
// Our judgment: retention is in days, so an hour does not matter.
const deletionEvery = time.Hour

// dailyRun is the author of deletions in the log.
const dailyRun = "the daily run"

// DeleteDue deletes the data whose retention period is over. Of all instances the first one
// does the run of a day.
func (s *Site) DeleteDue(ctx context.Context) error {
	house, err := s.db.House(ctx)
	if err != nil {
		return err
	}
	done, err := s.db.DeleteDue(ctx, s.now(), house.Rules, dailyRun)
	for _, d := range done {
		if d.Gone > 0 {
			s.log.Info("deleted, its time being over", "hike", d.Hike, "kind", d.Kind, "rows", d.Gone)
		}
	}
	return err
}
