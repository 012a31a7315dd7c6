package site

import (
	"context"
	"time"
)

// House judgement: what is kept counts in days, so an hour late is on time.
const retireEvery = time.Hour

// dailyRun is by whom the log says that things went.
const dailyRun = "the daily run"

// Retire deletes what has been kept for as long as the rules say. Each day's run is done
// once, by whichever instance is first.
func (s *Site) Retire(ctx context.Context) error {
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
