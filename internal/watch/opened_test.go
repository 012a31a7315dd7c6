package watch_test

import (
	"testing"

	"saltbush/internal/watch"
)

// A name with a comma is told from the address, and only a later visit counts.
func TestOpened(t *testing.T) {
	step := watch.Logged{Kind: watch.LogStep, At: at(11, 21), Recipient: "Lind, Rosa, rosa@example.org"}
	early := watch.Logged{Kind: watch.LogOpened, At: at(11, 0), By: "Lind, Rosa"}
	other := watch.Logged{Kind: watch.LogOpened, At: at(11, 22), By: "Tomas Barr"}
	late := watch.Logged{Kind: watch.LogOpened, At: at(11, 25), By: "Lind, Rosa"}
	c := watch.Case{Log: []watch.Logged{early, step, other}}
	if got := c.Opened(step); !got.IsZero() || !c.Unopened("Lind, Rosa") || c.Unopened("Tomas Barr") {
		t.Errorf("opened at %v before anybody came", got)
	}
	c.Log = append(c.Log, late)
	if got := c.Opened(step); !got.Equal(late.At) || c.Unopened("Lind, Rosa") {
		t.Errorf("opened at %v, want 11:25", got)
	}
}
