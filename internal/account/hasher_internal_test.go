package account

import (
	"context"
	"errors"
	"testing"
	"time"
)

// The test takes the slot itself, so it does not depend on how long a hash takes.
func TestHasherWaitsForItsTurn(t *testing.T) {
	h := NewHasherAt(1, Cost{MemoryKiB: 64, Passes: 1, Lanes: 1})
	if err := h.enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	if _, err := h.Hash(ctx, "another four words here"); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("Hash while the only slot is taken: %v, want the deadline", err)
	}
	h.leave()
	if _, err := h.Hash(t.Context(), "another four words here"); err != nil {
		t.Errorf("Hash once the slot is free: %v", err)
	}
}
