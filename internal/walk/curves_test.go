package walk_test

import (
	"fmt"
	"math"
	"testing"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Marks in these tables: F the source's own text, F2 second-hand, C computed from a
// formula so marked (a check on the port, not a printed figure), M from memory.

var angles = []float64{-30, -20, -10, -5, 0, 5, 10, 20, 30}

func TestTravelRateCurves(t *testing.T) {
	ladder := func(p walk.Percentile) func(unit.Slope) unit.Speed {
		return func(s unit.Slope) unit.Speed {
			v, err := walk.Campbell2019(p, s)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
	}
	// All [C] from [F2] coefficients, m/s at the angles above, tolerance 0.001.
	tests := []struct {
		name string // source
		rate func(unit.Slope) unit.Speed
		want []float64
	}{
		{"Campbell 2019 p1", ladder(1), []float64{0.413, 0.483, 0.682, 0.809, 0.813, 0.677, 0.531, 0.358, 0.277}},
		{"Campbell 2019 p5", ladder(5), []float64{0.565, 0.680, 0.959, 1.120, 1.145, 0.993, 0.791, 0.514, 0.376}},
		{"Campbell 2019 p10", ladder(10), []float64{0.668, 0.788, 1.100, 1.291, 1.320, 1.135, 0.901, 0.596, 0.448}},
		{"Campbell 2019 p25", ladder(25), []float64{0.856, 0.952, 1.376, 1.821, 1.900, 1.434, 1.055, 0.724, 0.591}},
		{"Campbell 2019 p50", ladder(50), []float64{1.000, 1.207, 1.929, 2.517, 2.552, 1.940, 1.399, 0.879, 0.669}},
		{"Campbell 2022 median", walk.Rate, []float64{0.474, 0.704, 1.013, 1.127, 1.148, 1.065, 0.916, 0.612, 0.406}},
		{"Sullivan 2020 16.7 %", walk.CrewsFast, []float64{0.334, 0.607, 0.890, 0.966, 0.961, 0.881, 0.757, 0.503, 0.322}},
		{"Sullivan 2020 50 %", walk.CrewsMiddle, []float64{0.205, 0.475, 0.829, 0.942, 0.936, 0.814, 0.639, 0.324, 0.131}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for i, angle := range angles {
				got := tt.rate(onAngle(angle)).MetresPerSecond()
				near(t, fmt.Sprintf("rate at %g degrees [C]", angle), got, tt.want[i], 0.001)
			}
		})
	}
}

func TestRateMoreOfTheMedian(t *testing.T) {
	// Campbell 2022 median [C]: four digits, so half of the last, except the slope of the
	// maximum, which is printed.
	tests := []struct{ angle, want float64 }{
		{-25, 0.5754}, {-15, 0.8569}, {-1.4579, 1.1534}, {15, 0.7551}, {25, 0.4962},
	}
	for _, tt := range tests {
		near(t, fmt.Sprintf("rate at %g degrees [C]", tt.angle), walk.Rate(onAngle(tt.angle)).MetresPerSecond(), tt.want, 0.00005)
	}
}

func TestRateHoldsSteepSlopesAtThirtyDegrees(t *testing.T) {
	for _, angle := range []float64{31, 45, 60} {
		if got, want := walk.Rate(onAngle(angle)), walk.Rate(onAngle(30)); got != want {
			t.Errorf("rate at %g degrees = %v, want %v as at 30", angle, got, want)
		}
		if got, want := walk.Rate(onAngle(-angle)), walk.Rate(onAngle(-30)); got != want {
			t.Errorf("rate at -%g degrees = %v, want %v as at -30", angle, got, want)
		}
	}
}

func TestRateAgreesWithTheLaterRationalForm(t *testing.T) {
	// The reference sheet says within 0.06 m/s [F2].
	worst := 0.0
	for angle := -30.0; angle <= 30; angle++ {
		gap := float64(walk.Rate(onAngle(angle)) - walk.RateRational(onAngle(angle)))
		worst = max(worst, gap, -gap)
	}
	t.Logf("worst gap %.4f m/s", worst)
	if worst > 0.06 {
		t.Errorf("worst gap %.4f m/s, want at most 0.06", worst)
	}
}

func TestCampbell2019EveryRung(t *testing.T) {
	// Campbell, Dennison, Butler and Page 2019, Supplement Table S1 [F2], as printed: the rung,
	// then a to e of r = c/(pi b (1 + ((t-a)/b)^2)) + d + e t. Each rung against the form itself
	// at its own top, a width b to each side and on the level.
	tests := []struct {
		percentile    walk.Percentile
		a, b, c, d, e float64
	}{
		{1, -2.100, 12.273, 21.816, 0.263, -0.00193},
		{5, -1.527, 14.041, 36.813, 0.320, -0.00273},
		{10, -1.568, 13.328, 38.892, 0.404, -0.00323},
		{15, -1.626, 11.847, 38.231, 0.481, -0.00356},
		{20, -1.710, 10.154, 36.905, 0.557, -0.00389},
		{25, -1.822, 8.827, 37.111, 0.616, -0.00402},
		{30, -1.858, 8.412, 39.995, 0.645, -0.00430},
		{40, -1.958, 8.960, 50.340, 0.649, -0.00457},
		{50, -2.171, 10.064, 63.660, 0.628, -0.00463},
		{60, -2.459, 11.311, 79.287, 0.599, -0.00461},
		{70, -2.823, 12.784, 98.697, 0.566, -0.00493},
		{80, -3.371, 15.395, 134.409, 0.443, -0.00472},
		{90, -3.060, 16.653, 138.875, 0.823, -0.01386},
		{95, -3.485, 17.033, 138.040, 1.179, -0.01252},
		{99, -4.000, 13.903, 123.515, 1.961, -0.01081},
	}
	for _, tt := range tests {
		for _, angle := range []float64{tt.a, tt.a - tt.b, tt.a + tt.b, 0} {
			got, err := walk.Campbell2019(tt.percentile, onAngle(angle))
			if err != nil {
				t.Fatal(err)
			}
			u := (angle - tt.a) / tt.b
			want := tt.c/(math.Pi*tt.b*(1+u*u)) + tt.d + tt.e*angle
			near(t, fmt.Sprintf("percentile %d at %g degrees [F2]", tt.percentile, angle), got.MetresPerSecond(), want, 1e-9)
		}
	}
}

func TestCampbell2019RisesUpTheLadder(t *testing.T) {
	rungs := []walk.Percentile{1, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 95, 99}
	for _, angle := range angles {
		below := unit.Speed(0)
		for _, p := range rungs {
			v, err := walk.Campbell2019(p, onAngle(angle))
			if err != nil {
				t.Fatal(err)
			}
			if v <= below {
				t.Errorf("percentile %d at %g degrees = %v, not above the rung below, %v", p, angle, v, below)
			}
			below = v
		}
	}
}

func TestCampbell2019RefusesARungThatIsNotThere(t *testing.T) {
	if _, err := walk.Campbell2019(33, 0); err == nil {
		t.Error("percentile 33 was answered")
	}
}

func TestTobler(t *testing.T) {
	// Tobler 1993's sample table [F2], tolerance 0.005 km/h and 0.05 min/km.
	tests := []struct{ angle, speed, pace float64 }{
		{-30, 0.95, 63.3}, {-25, 1.40, 42.9}, {-20, 2.00, 30.0}, {-15, 2.80, 21.4},
		{-10, 3.86, 15.6}, {-5, 5.26, 11.4}, {-2.8624, 6.00, 10.0}, {0, 5.04, 11.9},
		{1, 4.74, 12.7}, {5, 3.71, 16.2}, {10, 2.72, 22.1}, {15, 1.97, 30.4},
		{20, 1.41, 42.6}, {25, 0.98, 60.9}, {30, 0.67, 89.9}, {40, 0.27, 224.6},
	}
	for _, tt := range tests {
		got := walk.Tobler(onAngle(tt.angle)).KilometresPerHour()
		near(t, fmt.Sprintf("km/h at %g degrees [F2]", tt.angle), got, tt.speed, 0.005)
		near(t, fmt.Sprintf("min/km at %g degrees [F2]", tt.angle), 60/got, tt.pace, 0.05)
		near(t, "off path share [F2]", float64(walk.ToblerOffPath(onAngle(tt.angle))/walk.Tobler(onAngle(tt.angle))), 0.6, 1e-12)
	}
}

func TestIrmischerClarke(t *testing.T) {
	// Irmischer and Clarke 2018 [F2], signed slope [M]; values [C], half the last digit.
	tests := []struct {
		name    string
		rate    func(unit.Slope) unit.Speed
		percent float64
		want    float64
	}{
		{"on path", walk.IrmischerClarke, -20, 0.992},
		{"on path", walk.IrmischerClarke, -10, 1.096},
		{"on path, maximum", walk.IrmischerClarke, -5, 1.110},
		{"on path", walk.IrmischerClarke, 0, 1.096},
		{"on path", walk.IrmischerClarke, 10, 0.992},
		{"on path", walk.IrmischerClarke, 20, 0.817},
		{"on path", walk.IrmischerClarke, 30, 0.616},
		{"off path, maximum", walk.IrmischerClarkeOffPath, -2, 0.780},
		{"off path", walk.IrmischerClarkeOffPath, -10, 0.757},
		{"off path", walk.IrmischerClarkeOffPath, 0, 0.779},
		{"off path", walk.IrmischerClarkeOffPath, 10, 0.728},
		{"off path", walk.IrmischerClarkeOffPath, 20, 0.622},
	}
	for _, tt := range tests {
		near(t, fmt.Sprintf("%s at %g %% [C]", tt.name, tt.percent), tt.rate(percent(tt.percent)).MetresPerSecond(), tt.want, 0.0005)
	}
}

func TestIrmischerClarkeWomen(t *testing.T) {
	// Irmischer and Clarke 2018 [F2]: women at 0.95 of men's speed. The men's maximum is exactly
	// 1.11 at -5 %, so 1.0545.
	near(t, "women at -5 %", walk.IrmischerClarkeWomen(percent(-5)).MetresPerSecond(), 1.0545, 1e-9)
}

func TestMarquezPerez(t *testing.T) {
	// Marquez-Perez et al. 2017 [F2]; values [C], km/h, half the last digit.
	for _, tt := range []struct{ slope, want float64 }{{0, 4.09}, {0.1, 2.83}, {-0.1, 3.88}} {
		got := walk.MarquezPerez(unit.Slope(tt.slope)).KilometresPerHour()
		near(t, fmt.Sprintf("km/h at slope %g [C]", tt.slope), got, tt.want, 0.005)
	}
}
