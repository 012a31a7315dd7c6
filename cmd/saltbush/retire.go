package main

import (
	"context"
	"time"

	"saltbush/internal/hike"
)

// House judgement: what is kept counts in days, so an hour late is on time.
const retireEvery = time.Hour

// dailyRun is by whom the log says that things went.
const dailyRun = "the daily run"

// retire deletes what has been kept for as long as the rules say, for as long as the site
// runs. Any number of instances may: each day's run is done once.
func (s *site) retire(ctx context.Context) {
	for ctx.Err() == nil {
		done, err := s.retireOnce(ctx, time.Now())
		if err != nil && ctx.Err() == nil {
			s.log.Error("delete what is due", "err", err)
		}
		for _, d := range done {
			if d.Gone > 0 {
				s.log.Info("deleted, its time being over", "hike", d.Hike, "kind", d.Kind, "rows", d.Gone)
			}
		}
		select {
		case <-ctx.Done():
		case <-time.After(retireEvery):
		}
	}
}

func (s *site) retireOnce(ctx context.Context, now time.Time) ([]hike.Retirement, error) {
	house, err := s.db.House(ctx)
	if err != nil {
		return nil, err
	}
	return s.db.Retire(ctx, now, house.Rules, dailyRun)
}
