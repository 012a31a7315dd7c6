package walk_test

import (
	"math"
	"testing"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func TestCardKeepsTheBeatAndShortensTheStep(t *testing.T) {
	for _, pace := range []walk.Pace{walk.Gentle, walk.Ordinary, walk.Brisk} {
		card, err := walk.NewCard(pace, 0.2, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range []walk.Stride{card.Level, card.Up, card.Down} {
			near(t, string(pace)+" beat times step, m/s", line.Step.Metres()*float64(card.Beat)/60,
				line.Speed.MetresPerSecond(), 1e-9)
			if step := line.Step.Metres(); step < 0.2 || step > 0.9 {
				t.Errorf("%s step %.2f m, want one that a person makes", pace, step)
			}
		}
		if !(card.Up.Step < card.Level.Step && card.Down.Step < card.Level.Step) {
			t.Errorf("%s: up %v, level %v, down %v, want the level longest",
				pace, card.Up.Step, card.Level.Step, card.Down.Step)
		}
		if card.Down.Slope != -0.2 {
			t.Errorf("%s: down slope %v, want -0.2", pace, card.Down.Slope)
		}
	}
}

func TestCardBreathesFasterOnSteeperGround(t *testing.T) {
	tests := []struct {
		name string
		up   unit.Slope
		want string
	}{
		{"near level, six", 0.02, "one breath every six paces: three in, three out"},
		{"climb, four", 0.10, "one breath every four paces: two in, two out"},
		{"steep, two", 0.25, "one breath every two paces: in on one, out on the next"},
	}
	for _, tt := range tests {
		card, err := walk.NewCard(walk.Ordinary, tt.up, 0)
		if err != nil {
			t.Fatal(err)
		}
		if card.Up.Breathing != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, card.Up.Breathing, tt.want)
		}
	}
}

func TestCardRefusesImpossibleSlopes(t *testing.T) {
	if _, err := walk.NewCard("hurried", 0.1, 0.1); err == nil {
		t.Error("an unknown pace was taken")
	}
	if _, err := walk.NewCard(walk.Gentle, unit.Slope(math.NaN()), 0.1); err == nil {
		t.Error("a slope that is not a number was taken")
	}
	if _, err := walk.NewCard(walk.Gentle, 0.1, -7); err == nil {
		t.Error("a cliff was taken")
	}
}
