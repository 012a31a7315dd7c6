package site

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestEvery(t *testing.T) {
	begin := func(j job) (calls *[]time.Duration, log *bytes.Buffer, stop func()) {
		ctx, cancel := context.WithCancel(context.Background())
		calls, log = &[]time.Duration{}, &bytes.Buffer{}
		from, do := time.Now(), j.do
		j.do = func(ctx context.Context) error {
			*calls = append(*calls, time.Since(from))
			if do == nil {
				return nil
			}
			return do(ctx)
		}
		ended := make(chan struct{})
		go func() {
			every(ctx, slog.New(slog.NewTextHandler(log, nil)), j)
			close(ended)
		}()
		return calls, log, func() {
			cancel()
			<-ended
		}
	}
	same := func(t *testing.T, got, want []time.Duration) {
		t.Helper()
		if !slices.Equal(got, want) {
			t.Errorf("called at %v, want %v", got, want)
		}
	}
	t.Run("runs at each interval until it is stopped", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			calls, _, stop := begin(job{each: time.Minute})
			time.Sleep(150 * time.Second)
			stop()
			time.Sleep(time.Hour)
			same(t, *calls, []time.Duration{0, time.Minute, 2 * time.Minute})
		})
	})
	t.Run("an error is logged with the name of the job, and the job goes on", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			fails := func(context.Context) error { return errors.New("no database") }
			calls, log, stop := begin(job{name: "tend places", each: time.Minute, do: fails})
			time.Sleep(90 * time.Second)
			stop()
			same(t, *calls, []time.Duration{0, time.Minute})
			if n := strings.Count(log.String(), `msg="tend places" err="no database"`); n != 2 {
				t.Errorf("logged %d times, want 2:\n%s", n, log)
			}
		})
	})
	t.Run("an error of the canceled context is not logged", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			waits := func(ctx context.Context) error {
				<-ctx.Done()
				return ctx.Err()
			}
			_, log, stop := begin(job{each: time.Minute, do: waits})
			time.Sleep(time.Second)
			stop()
			if log.Len() > 0 {
				t.Errorf("logged %s", log)
			}
		})
	})
	t.Run("many wakes in a row cause one call, after the rest", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			wake := make(chan struct{}, 1)
			calls, _, stop := begin(job{each: time.Minute, wake: wake, rest: time.Second})
			for range 5 {
				time.Sleep(100 * time.Millisecond)
				select {
				case wake <- struct{}{}:
				default: // one is pending
				}
			}
			time.Sleep(30 * time.Second)
			stop()
			same(t, *calls, []time.Duration{0, time.Second})
		})
	})
}
