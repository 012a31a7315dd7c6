package party_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Trade case: not enough water at the trailhead. Two people have 1.0 L each; 3.0 L are in the car.
func twoShort(need unit.Volume) []party.Walker {
	return []party.Walker{
		{Name: "Ines", Need: need, Holds: need + 2},
		{Name: "Bram", Need: need, Holds: 1},
		{Name: "Tova", Need: need, Holds: 1},
	}
}

func TestShare(t *testing.T) {
	giver := twoShort(3)
	giver[0].Gives = 1
	tests := []struct {
		name    string
		walkers []party.Walker
		stock   unit.Volume
		want    party.Sharing
	}{
		{
			"full route, 5.0 each: three litres do not cure even one", twoShort(5), 3,
			party.Sharing{Go: []party.Portion{{"Ines", 0}}, Stay: []string{"Bram", "Tova"}, Spare: 3},
		},
		{
			"short option, 3.0 each: one of the two, and the leader sees the tie", twoShort(3), 3,
			party.Sharing{Go: []party.Portion{{"Ines", 0}, {"Bram", 2}}, Stay: []string{"Tova"},
				Tied: []string{"Bram", "Tova"}, Spare: 1},
		},
		{
			"short option with a litre given: both", giver, 3,
			party.Sharing{Go: []party.Portion{{"Ines", 0}, {"Bram", 2}, {"Tova", 2}}},
		},
		{
			"least lack first, so that most can go",
			[]party.Walker{{Name: "far", Need: 4}, {Name: "near", Need: 4, Holds: 3},
				{Name: "mid", Need: 4, Holds: 2}}, 3.5,
			party.Sharing{Go: []party.Portion{{"near", 1}, {"mid", 2}}, Stay: []string{"far"}, Spare: 0.5},
		},
		{"nobody", nil, 3, party.Sharing{Spare: 3}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := party.Share(tt.walkers, tt.stock)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("Share(%+v, %v) (-want +got):\n%s", tt.walkers, tt.stock, diff)
			}
		})
	}
}

func TestShareIgnoresRoundingErrors(t *testing.T) {
	got, err := party.Share([]party.Walker{{Name: "Ola", Need: 0.3}}, 0.3-1e-12)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Go) != 1 {
		t.Errorf("%+v, want Ola to go", got)
	}
}

func TestShareRefusesImpossibleAmounts(t *testing.T) {
	tests := []struct {
		name   string
		walker party.Walker
		stock  unit.Volume
		want   string
	}{
		{"stock below nothing", party.Walker{}, -1, "stock"},
		{"stock no number", party.Walker{}, unit.Volume(math.NaN()), "stock"},
		{"need below nothing", party.Walker{Name: "Ola", Need: -1}, 0, "Ola: need"},
		{"holds no number", party.Walker{Name: "Ola", Holds: unit.Volume(math.NaN())}, 0, "Ola: holds"},
		{"gives what is needed", party.Walker{Name: "Ola", Need: 3, Holds: 4, Gives: 2}, 0, "Ola: gives 2"},
		{"gives while short", party.Walker{Name: "Ola", Need: 3, Holds: 1, Gives: 0.5}, 0, "Ola: gives 0.5"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := party.Share([]party.Walker{tt.walker}, tt.stock)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want it to name %q", err, tt.want)
			}
		})
	}
}

func TestShareNeverMakesWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		walkers := make([]party.Walker, rapid.IntRange(0, 12).Draw(t, "walkers"))
		available := 0.0
		for i := range walkers {
			w := &walkers[i]
			w.Need = unit.Volume(rapid.IntRange(0, 12).Draw(t, "need")) / 2
			w.Holds = unit.Volume(rapid.IntRange(0, 12).Draw(t, "holds")) / 2
			w.Gives = max(0, w.Holds-w.Need) * unit.Volume(rapid.IntRange(0, 1).Draw(t, "gives"))
			available += float64(w.Gives)
		}
		stock := unit.Volume(rapid.IntRange(0, 20).Draw(t, "stock")) / 2
		got, err := party.Share(walkers, stock)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Go)+len(got.Stay) != len(walkers) {
			t.Errorf("%d go and %d stay, of %d", len(got.Go), len(got.Stay), len(walkers))
		}
		handed := float64(got.Spare)
		for _, p := range got.Go {
			handed += float64(p.Takes)
		}
		if math.Abs(handed-available-float64(stock)) > 1e-9 {
			t.Errorf("handed out and left %v L, had %v L", handed, available+float64(stock))
		}
		more, err := party.Share(walkers, stock+0.5)
		if err != nil {
			t.Fatal(err)
		}
		if len(more.Go) < len(got.Go) {
			t.Errorf("half a litre more lets %d go, fewer than %d", len(more.Go), len(got.Go))
		}
	})
}
