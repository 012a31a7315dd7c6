package hike_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/rules"
)

// The file was written by the version before the rules had one table. The keys of stored plans never change.
func TestStoredInputsKeepTheirKeys(t *testing.T) {
	text, err := os.ReadFile("testdata/plan_inputs.json")
	if err != nil {
		t.Fatal(err)
	}
	var in hike.PlanInputs
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(rules.DefaultRules().Planning, in.Rules()); d != "" {
		t.Errorf("rules of the stored plan (-default +stored):\n%s", d)
	}
	back, err := json.MarshalIndent(in, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(text), string(back)+"\n"); d != "" {
		t.Errorf("written back (-stored +now):\n%s", d)
	}
	in.House = nil
	if in.Rules() != rules.DefaultRules().Planning {
		t.Error("a plan stored without rules was made with the defaults")
	}
}
