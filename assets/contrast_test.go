package assets_test

import (
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// pair is an ink on a ground. Contrast by WCAG 2.2 (W3C, 2023), "contrast ratio":
// success criterion 1.4.6 asks 7:1 for text, 1.4.11 asks 3:1 for the edge of a control.
type pair struct {
	ink, ground string
	least       float64
}

func pairs() []pair {
	text := func(ink string, grounds ...string) (out []pair) {
		for _, g := range grounds {
			out = append(out, pair{ink, g, 7})
		}
		return out
	}
	all := text("--ink", "--paper", "--desk", "--wash", "--leaf-wash", "--ochre-wash", "--clay-wash")
	all = append(all, text("--ink-soft", "--paper", "--desk", "--wash", "--ochre-wash")...)
	all = append(all, text("--leaf", "--paper", "--leaf-wash")...)
	all = append(all, text("--ochre", "--paper", "--ochre-wash")...)
	all = append(all, text("--clay", "--paper", "--clay-wash")...)
	all = append(all, text("--rock", "--paper")...)
	all = append(all, text("--link", "--paper", "--desk", "--wash")...)
	all = append(all, pair{"--on-leaf", "--leaf-fill", 7}, pair{"--on-ochre", "--ochre-fill", 7},
		pair{"--on-clay", "--clay-fill", 7}, pair{"--on-rock", "--rock-fill", 7},
		pair{"--on-band", "--band", 7}, pair{"--on-band-tab", "--band-tab", 7},
		pair{"--edge", "--paper", 3}, pair{"--focus", "--paper", 3}, pair{"--margin-rule", "--paper", 3})
	return all
}

func TestContrast(t *testing.T) {
	light, dark := palettes(t)
	for mode, tokens := range map[string]map[string]string{"light": light, "dark": dark} {
		for _, p := range pairs() {
			t.Run(mode+" "+p.ink+" on "+p.ground, func(t *testing.T) {
				got := ratio(luminance(t, tokens, p.ink), luminance(t, tokens, p.ground))
				if got < p.least {
					t.Errorf("contrast of %s on %s in %s mode = %.2f, want at least %.0f",
						p.ink, p.ground, mode, got, p.least)
				}
			})
		}
	}
}

var (
	token = regexp.MustCompile(`(--[a-z0-9-]+):\s*([^;]+);`)
	hex   = regexp.MustCompile(`^#([0-9a-f]{3}|[0-9a-f]{6})$`)
)

// palettes reads the tokens of app.css: all that stand before the dark rule, and the
// same with the dark rule's laid over them.
func palettes(t *testing.T) (light, dark map[string]string) {
	t.Helper()
	sheet, err := os.ReadFile("app.css")
	if err != nil {
		t.Fatal(err)
	}
	head, rest, found := strings.Cut(string(sheet), "@media (prefers-color-scheme: dark)")
	if !found {
		t.Fatal("app.css has no dark rule")
	}
	night, _, _ := strings.Cut(rest, ":root.Wall-dark")
	light, dark = map[string]string{}, map[string]string{}
	for _, m := range token.FindAllStringSubmatch(head, -1) {
		light[m[1]], dark[m[1]] = m[2], m[2]
	}
	for _, m := range token.FindAllStringSubmatch(night, -1) {
		dark[m[1]] = m[2]
	}
	return light, dark
}

// A wall at night has the colors of the dark mode.
func TestWallIsDarkAsDarkModeIs(t *testing.T) {
	sheet, err := os.ReadFile("app.css")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(sheet), "@media (prefers-color-scheme: dark)")
	mode, wall, found := strings.Cut(rest, ":root.Wall-dark")
	wall, _, ended := strings.Cut(wall, "@layer base")
	if !found || !ended {
		t.Fatal("app.css has no colors of a dark wall")
	}
	want, got := token.FindAllString(mode, -1), token.FindAllString(wall, -1)
	if !slices.Equal(got, want) {
		t.Errorf("a dark wall has %v, want those of the dark mode, %v", got, want)
	}
}

// luminance is the relative luminance of a token, following var() to a colour.
func luminance(t *testing.T, tokens map[string]string, name string) float64 {
	t.Helper()
	value := strings.TrimSpace(tokens[name])
	for strings.HasPrefix(value, "var(") {
		value = strings.TrimSpace(tokens[strings.TrimSuffix(strings.TrimPrefix(value, "var("), ")")])
	}
	if !hex.MatchString(value) {
		t.Fatalf("token %s is %q, want a hex colour", name, value)
	}
	digits := value[1:]
	if len(digits) == 3 {
		digits = strings.Join([]string{digits[:1], digits[:1], digits[1:2], digits[1:2], digits[2:], digits[2:]}, "")
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if err != nil {
		t.Fatal(err)
	}
	return 0.2126*linear(n>>16&255) + 0.7152*linear(n>>8&255) + 0.0722*linear(n&255)
}

func linear(channel uint64) float64 {
	c := float64(channel) / 255
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

func ratio(a, b float64) float64 {
	return (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05)
}
