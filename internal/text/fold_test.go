package text_test

import (
	"testing"

	"saltbush/internal/text"
)

func TestSame(t *testing.T) {
	tests := []struct {
		name, source, a, b string
		want               bool
	}{
		{"the same", "", "Amaya Reyes", "Amaya Reyes", true},
		{"case and spaces", "Unicode 15.0, D145", " amaya  REYES\n", "Amaya Reyes", true},
		{"another name", "", "Amaya Reyes", "Amaya Reyez", false},
		{"accents count", "", "Jos\u00e9", "Jose", false},
		{"accents written two ways", "Unicode 15.0, D145", "JOSE\u0301", "jos\u00e9", true},
		{"sharp s and its capital", "UnicodeData.txt, 1E9E", "Gro\u00df", "GRO\u1e9e", true},
		{"sharp s is one letter", "UnicodeData.txt, 00DF", "Gro\u00df", "GROSS", false},
		{"Cherokee", "UnicodeData.txt, 13A0", "\u13a0\u13a1", "\uab70\uab71", true},
		{"final sigma", "UnicodeData.txt, 03C2", "\u039f\u0394\u039f\u03a3", "\u03bf\u03b4\u03bf\u03c2", true},
		{"subscript iota", "Unicode 15.0, D145", "\u1fb3", "\u0391\u0345", true},
		{"i without a dot has the capital of i", "UnicodeData.txt, 0131", "Il\u0131", "ILI", true},
		{"full width", "UAX #11, F", "\uff21maya", "amaya", true},
		{"hidden characters", "UAX #44, Cf", "Am\u200bay\u202ea", "amaya", true},
		{"joiners", "UAX #31, section 2.3.1", farsi, "\u0646\u0627\u0645\u0647\u0627\u06cc", true},
		{"letters that look alike are two letters", "UTS #39, section 4", "\u0410maya", "Amaya", false},
		{"empty", "", "", "", false},
		{"invisible", "UAX #44, Cf", " ", "\u200b", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if text.Same(tt.a, tt.b) != tt.want || text.Same(tt.b, tt.a) != tt.want {
				t.Errorf("Same(%+q, %+q) = %v (%s)", tt.a, tt.b, !tt.want, tt.source)
			}
		})
	}
}
