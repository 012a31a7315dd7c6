package text_test

import (
	"testing"
	"unicode/utf8"

	"saltbush/internal/text"
)

// seeds adds a text for each rule of the cleaners.
func seeds(f *testing.F) {
	for _, s := range []string{
		"Amaya Reyes", " a\t\u00a0b\r\n", "\x00\x1b[2J", "\u202ekcab\u2069", "\xff\xed\xa0\x80", "Jose\u200b\u0301",
		farsi, malayalam, sinhala, burmese, toned + "\u200d", "z" + bars(9),
		"\u0958\u0323\u094d\u200d\u0301", "\uff76\uff9e\uffa0", "\u3164\u2800\ufe0f", "a\u2028b\u2029c",
		"\U000e0041\ufdd0", "\u1100\u200b\u1161", "\u0600\u0661",
	} {
		f.Add(s)
	}
}

func fuzzCleaner(f *testing.F, clean func(string) string, kept ...rune) {
	seeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		got := clean(s)
		if fault := faultIn(got, kept...); fault != "" {
			t.Fatalf("%+q of %+q %s", got, s, fault)
		}
		if again := clean(got); again != got {
			t.Fatalf("%+q of %+q is cleaned again to %+q", got, s, again)
		}
		// UAX #15, section 9: normal form C has at most three times as many code points.
		if n := utf8.RuneCountInString(s); text.Longer(got, 3*n) {
			t.Fatalf("%+q has more than three times the %d characters of %+q", got, n, s)
		}
	})
}

func FuzzLine(f *testing.F)      { fuzzCleaner(f, text.Line) }
func FuzzName(f *testing.F)      { fuzzCleaner(f, text.Name) }
func FuzzParagraph(f *testing.F) { fuzzCleaner(f, text.Paragraph, '\n', '\t') }

func FuzzAddress(f *testing.F) {
	for _, s := range []string{
		"wren@example.org", "Wren <wren@example.org>", "wren@b\u00fccher.example", "a@b", "\"a b\"@c.org",
		"a@[192.0.2.7]",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := text.Address(s)
		if err != nil {
			return
		}
		if len(got) > text.LongestAddress || text.Line(got) != got {
			t.Fatalf("%+q of %+q is too long, or not clean", got, s)
		}
		if again, err := text.Address(got); err != nil || again != got {
			t.Fatalf("%+q of %+q is read again as %+q, %v", got, s, again, err)
		}
	})
}

func FuzzPhone(f *testing.F) {
	for _, s := range []string{
		"602-555-0144", "+49 30 123456", "\uff16\uff10\uff12 555 0144", "\u0669\u0661\u0662", "+1 (602) 555.0144",
	} {
		f.Add(s, "US")
	}
	f.Add("9212 3456", "OM")
	f.Fuzz(func(t *testing.T, s, region string) {
		p, err := text.ParsePhone(s, region)
		if err != nil {
			return
		}
		if again, err := text.ParsePhone(p.Display(), region); err != nil || again != p {
			t.Fatalf("%+q of %+q is displayed as %+q and read again as %+q, %v", p, s, p.Display(), again, err)
		}
	})
}
