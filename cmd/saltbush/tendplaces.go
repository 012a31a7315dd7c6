package main

import (
	"context"
	"time"
)

// House judgement: a place is held for two days, so some minutes late is on time.
const tendEvery = 5 * time.Minute

// tendPlaces offers on what nobody took, and asks emergency contacts, for as long as the
// site runs.
func (s *site) tendPlaces(ctx context.Context) {
	for ctx.Err() == nil {
		if err := s.web.Notifier().TendPlaces(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("tend places", "err", err)
		}
		select {
		case <-ctx.Done():
		case <-time.After(tendEvery):
		}
	}
}
