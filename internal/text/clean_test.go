package text_test

import (
	"strings"
	"testing"

	"saltbush/internal/text"
)

// The examples of UAX #31, section 2.3.1: the words for "a letter" in Farsi, "eyewitness" in
// Malayalam and "Sri Lanka" in Sinhala, each with a joiner that it needs.
const (
	farsi     = "\u0646\u0627\u0645\u0647\u200c\u0627\u06cc"
	malayalam = "\u0d26\u0d43\u0d15\u0d4d\u200c\u0d38\u0d3e\u0d15\u0d4d\u0d37\u0d3f"
	sinhala   = "\u0dc1\u0dca\u200d\u0dbb\u0dd3\u0dbd\u0d82\u0d9a\u0dcf"
)

const (
	toned   = "\U0001f469\U0001f3fd\u200d\U0001f692" // a woman, a skin tone, a fire engine
	burmese = "\u1019\u103c\u102d\u102f\u1037"       // the word for a town
)

// bars returns n combining marks.
func bars(n int) string { return strings.Repeat("\u0335", n) }

func TestLine(t *testing.T) {
	tests := []struct{ name, source, in, want string }{
		{"plain", "", "Amaya Reyes", "Amaya Reyes"},
		{"spaces around and within", "UAX #44, White_Space", "\t Amaya \u00a0\u3000 Reyes\u2009", "Amaya Reyes"},
		{"line breaks", "Unicode 15.0, table 5-1", "a\r\nb\rc\nd\u0085e\u2028f\u2029g\vh\fi", "a b c d e f g h i"},
		{"zero byte", "UAX #44, Cc", "Am\x00aya", "Amaya"},
		{"escape sequence", "UAX #44, Cc", "Amaya\x1b[31m", "Amaya[31m"},
		{"control of the upper half", "UAX #44, Cc", "Am\u009baya", "Amaya"},
		{"right-to-left override", "UAX #9, section 2.2", "fig\u202egpj.exe", "figgpj.exe"},
		{"embeddings", "UAX #9, section 2.1", "\u202aA\u202bB\u202cC\u202dD", "ABCD"},
		{"isolates", "UAX #9, section 2.4", "\u2066A\u2067B\u2068C\u2069", "ABC"},
		{"implicit marks", "UAX #9, section 2.6", "\u200eA\u200fB\u061cC", "ABC"},
		{"zero-width space, word joiner, byte order mark", "UAX #44, Cf", "Am\u200ba\u2060y\ufeffa", "Amaya"},
		{"soft hyphen", "UAX #44, Cf", "Ama\u00adya", "Amaya"},
		{"hidden text in tags", "UAX #44, Cf", "Hi\U000e0048\U000e0069\U000e007f", "Hi"},
		{"noncharacters", "Unicode corrigendum 9", "A\ufdd0B\uffff\U0010ffff", "A\ufffdB\ufffd\ufffd"},
		{"bytes that are not text", "UTR #36, section 3.6", "Am\xff\xfeaya", "Am\ufffdaya"},
		{"half a surrogate", "RFC 3629, section 3", "A\xed\xa0\x80B", "A\ufffdB"},
		{"overlong slash", "RFC 3629, section 3", "A\xc0\xafB", "A\ufffdB"},
		{"letter and accent", "UAX #15, figure 3", "Jose\u0301", "Jos\u00e9"},
		{"accent behind a zero-width space", "UAX #15", "Jose\u200b\u0301", "Jos\u00e9"},
		{"the sign of a unit", "UAX #15, figure 3", "\u212bngstr\u00f6m", "\u00c5ngstr\u00f6m"},
		{"joiner that Farsi needs", "UAX #31, section 2.3.1, A1", farsi, farsi},
		{"joiner that Malayalam needs", "UAX #31, section 2.3.1, A2", malayalam, malayalam},
		{"joiner that Sinhala needs", "UAX #31, section 2.3.1, B", sinhala, sinhala},
		{"two joiners in a row", "UAX #31, section 2.3.1", "\u0646\u200c\u200d\u0627", "\u0646\u200c\u0627"},
		{"joiners between Latin letters", "UAX #31, section 2.3.1", "Am\u200da\u200cya", "Amaya"},
		{"joiner between digits", "UAX #31, section 2.3.1", "1\u200d2", "12"},
		{"emoji of two", "UTS #51, ED-16", "\U0001f469\u200d\U0001f692 out", "\U0001f469\u200d\U0001f692 out"},
		{"emoji with a skin tone", "UTS #51, ED-16", toned, toned},
		{"joiner after an emoji", "UTS #51, ED-16", "\U0001f469\u200d", "\U0001f469"},
		{"sign before an Arabic number", "UAX #44, Prepended_Concatenation_Mark", "\u0600\u0661", "\u0600\u0661"},
		{"selector of a Japanese name", "UTS #37", "\u8fbb\U000e0100", "\u8fbb\U000e0100"},
		{"a tower of accents", "UTS #39, section 5.4", "z" + bars(40), "z" + bars(8)},
		{"Burmese with four marks", "UTS #39, section 5.4", burmese, burmese},
		{"invisible: spaces", "", " \t\n", ""},
		{"invisible: zero width", "UAX #44, Cf", "\u200b\u200d\ufeff\u202e", ""},
		{"invisible: Hangul filler", "UAX #44, Default_Ignorable_Code_Point", "\u3164 \u115f\uffa0", ""},
		{"invisible: blank Braille", "Unicode 15.0, section 21.1", "\u2800\u2800", ""},
		{"invisible: selectors", "UAX #44, Variation_Selector", "\ufe0f\u034f", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := text.Line(tt.in); got != tt.want {
				t.Errorf("Line(%+q) = %+q, want %+q (%s)", tt.in, got, tt.want, tt.source)
			}
			if text.Empty(tt.in) != (tt.want == "") {
				t.Errorf("Empty(%+q) = %v", tt.in, text.Empty(tt.in))
			}
		})
	}
}

func TestName(t *testing.T) {
	tests := []struct{ name, source, in, want string }{
		{"full width", "UAX #11, F", "\uff21\uff4d\uff41\uff59\uff41\u3000\uff12", "Amaya 2"},
		{"half width", "UAX #11, H", "\uff76\uff9e\uff72\uff84\uff9e", "\u30ac\u30a4\u30c9"},
		{"a line, too", "", " Amaya\n\u202eReyes ", "Amaya Reyes"},
		{"a filler of half width", "UAX #44, Default_Ignorable_Code_Point", "\uffa0", ""},
		{"bytes that are not text", "UTR #36, section 3.6", "\xff", "\ufffd"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := text.Name(tt.in); got != tt.want {
				t.Errorf("Name(%+q) = %+q, want %+q (%s)", tt.in, got, tt.want, tt.source)
			}
		})
	}
}

func TestParagraph(t *testing.T) {
	tests := []struct{ name, source, in, want string }{
		{"line ends", "Unicode 15.0, table 5-1", "a\r\nb\rc\u2028d\u2029e\u0085f\n\r\ng", "a\nb\nc\nd\ne\nf\n\ng"},
		{"around it", "", "\n\n  a\n\n b \n\n", "a\n\n b"},
		{"tabs and runs of spaces", "", "food:\tnuts,  dates", "food:\tnuts,  dates"},
		{"spaces of other widths", "UAX #44, Zs", "9\u202fkm\u00a0on", "9 km on"},
		{"overrides and controls", "UAX #9, section 2.2", "a\u202e\x00\x07b\nc\u2066", "ab\nc"},
		{"bytes that are not text", "UTR #36, section 3.6", "a\xff\nb", "a\ufffd\nb"},
		{"joiner that Sinhala needs", "UAX #31, section 2.3.1, B", "1\n" + sinhala, "1\n" + sinhala},
		{"invisible", "UAX #44, Cf", "\u200b\n\u3164\r\n", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := text.Paragraph(tt.in); got != tt.want {
				t.Errorf("Paragraph(%+q) = %+q, want %+q (%s)", tt.in, got, tt.want, tt.source)
			}
		})
	}
}

func TestLonger(t *testing.T) {
	tests := []struct {
		in   string
		most int
		want bool
	}{
		{"", 0, false},
		{"a", 0, true},
		{"abc", 3, false},
		{"abcd", 3, true},
		{"\u00e9\u00e9\u00e9", 3, false}, // six bytes
		{"\U0001f692\U0001f692", 1, true},
	}
	for _, tt := range tests {
		if got := text.Longer(tt.in, tt.most); got != tt.want {
			t.Errorf("Longer(%+q, %d) = %v", tt.in, tt.most, got)
		}
	}
}
