package watch_test

import (
	"testing"

	"saltbush/internal/rules"
	"saltbush/internal/watch"
)

func TestMarginsOfTheDefaultRulesAreTheDefaults(t *testing.T) {
	if got := watch.MarginsOf(rules.DefaultRules()); got != watch.DefaultMargins() {
		t.Errorf("the rules say %+v, the ladder %+v", got, watch.DefaultMargins())
	}
}
