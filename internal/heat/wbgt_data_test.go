package heat_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/sun"
	"saltbush/internal/unit"
)

// 200 desert and temperate hours by the lwbgt library 0.3.0, a derivative of Argonne's C source, in single precision
// [C]. Its own tolerance for another implementation: 0.1 C on WBGT, 0.3 C at worst. We require a median of 0.05 C and
// at worst 0.3 C.
func TestWBGTReferenceHours(t *testing.T) {
	rows := referenceHours(t)
	if len(rows) != 200 {
		t.Fatalf("%d rows, want 200", len(rows))
	}
	var off [4][]float64
	for i, row := range rows {
		when, err := time.Parse(time.RFC3339, row[0])
		if err != nil {
			t.Fatal(err)
		}
		v := numbers(t, row[1:])
		a := air(v[4], v[5], v[3], v[6], v[2], 0, 0)
		a.Zenith = sun.At(when, unit.At(v[0], v[1])).Zenith
		a.Solar, a.Direct = heat.Sunshine(a.Solar, a.Zenith, when)
		g := wbgt(t, a)
		got := [4]unit.Temperature{g.Globe, g.NaturalWetBulb, shielded(t, a), g.WBGT}
		for k := range got {
			off[k] = append(off[k], math.Abs(got[k].Celsius()-v[7+k]))
		}
		if e := off[3][i]; e >= 0.3 {
			t.Errorf("row %d, %s: WBGT %.2f, want %.2f within 0.3", i+2, row[0], g.WBGT, v[10])
		}
	}
	for k, name := range []string{"globe", "natural wet bulb", "psychrometric wet bulb", "WBGT"} {
		slices.Sort(off[k])
		t.Logf("%-22s |error| median %.3f, 95 %% %.3f, worst %.3f C", name, off[k][100], off[k][190], off[k][199])
	}
	if median := off[3][100]; median >= 0.05 {
		t.Errorf("median |error| of WBGT = %.3f C, want under 0.05", median)
	}
}

func referenceHours(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(root(t), "..", "shared", "data", "wbgt-reference.csv"))
	if err != nil {
		t.Skip("SKIP: no ../shared/data/wbgt-reference.csv beside the repository")
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// root finds the folder of go.mod.
func root(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
}

func numbers(t *testing.T, fields []string) []float64 {
	t.Helper()
	var v []float64
	for _, f := range fields {
		x, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatal(err)
		}
		v = append(v, x)
	}
	return v
}
