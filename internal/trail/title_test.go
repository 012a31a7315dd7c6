package trail_test

import (
	"testing"

	"saltbush/internal/trail"
)

func TestTitleFollowsTheTrail(t *testing.T) {
	from, to := trail.Trail{ID: 1, Name: "Quail Wash"}, trail.Trail{ID: 2, Name: "Lantern Ridge"}
	for _, tt := range []struct{ name, title, want string }{
		{"the trail's own name", "Quail Wash", "Lantern Ridge"},
		{"the name with more", "Quail Wash: before breakfast", "Lantern Ridge: before breakfast"},
		{"the name within", "Dawn on quail wash", "Dawn on Lantern Ridge"},
		{"somebody's own", "Saddle before breakfast", "Saddle before breakfast"},
		{"a longer word", "Quail Washers meet", "Quail Washers meet"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := trail.TitleAfter(tt.title, from, to); got != tt.want {
				t.Errorf("TitleAfter(%q) = %q, want %q", tt.title, got, tt.want)
			}
		})
	}
	if got := trail.TitleFor("  ", from); got != from.Name {
		t.Errorf("no title typed: %q, want the trail's name", got)
	}
	if got := trail.TitleFor(" Own ", from); got != "Own" {
		t.Errorf("a title typed: %q, want it as typed", got)
	}
}
