package text_test

import (
	"fmt"
	"net/mail"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"

	"saltbush/internal/text"
)

// faultIn returns what is wrong with a cleaned text, or "". It does not know how the text was
// cleaned.
func faultIn(s string, kept ...rune) string {
	marks := 0
	switch {
	case !utf8.ValidString(s):
		return "is not UTF-8"
	case !norm.NFC.IsNormalString(s):
		return "is not in normal form C"
	case strings.TrimSpace(s) != s:
		return "has spaces around it"
	case text.Empty(s) && s != "":
		return "is invisible, but not empty"
	}
	for _, r := range s {
		if !unicode.Is(unicode.M, r) {
			marks = 0
		} else if marks++; marks > 8 {
			return "has more than 8 marks in a row"
		}
		if strings.ContainsRune(string(kept), r) || r == 0x200c || r == 0x200d {
			continue
		}
		if unicode.Is(unicode.Cf, r) && !unicode.Is(unicode.Prepended_Concatenation_Mark, r) {
			return fmt.Sprintf("has the format character %U", r)
		}
		if unicode.In(r, unicode.Cc, unicode.Noncharacter_Code_Point) || unicode.IsSpace(r) && r != ' ' {
			return fmt.Sprintf("has %U", r)
		}
	}
	return ""
}

// typed draws input of people and attackers: letters of many scripts mixed with everything
// that cleaning handles.
func typed() *rapid.Generator[string] {
	hard := rapid.SampledFrom([]string{
		" ", "  ", "\t", "\n", "\r\n", "\r", "\x00", "\x1b", "\u0085", "\u00a0", "\u00ad", "\u200b", "\u200c", "\u200d",
		"\u200e", "\u2028", "\u202e", "\u2066", "\u2069", "\ufeff", "\u180e", "\u034f", "\u3164", "\u2800", "\u0600",
		"\ufdd0", "\U000e0041", "\xff", "\xe2\x80", "\xed\xa0\x80", "e\u0301", "\u0323", "\u0335", "\u0345", "\u0f71",
		"\u302e", "\u0958", "\u094d", "\u0915", "\u0dc1\u0dca", "\u0646", "\u1100", "\u1161", "\u11a8", "\U0001f469",
		"\U0001f3fd", "\ufe0f", "\u2640", "\u00df", "\u0130", "\u1e9e", "\uff21", "\uff76\uff9e", "\uffa0",
		"\U0001d15e", "\u212b", "\u03a3", "\u1f80",
	})
	piece := rapid.OneOf(hard, rapid.StringN(0, 4, -1), rapid.StringMatching(`[A-Za-z]{1,6}`))
	return rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(piece, 0, 24).Draw(t, "pieces"), "")
	})
}

func TestCleanTexts(t *testing.T) {
	kinds := map[string]struct {
		clean func(string) string
		kept  []rune
	}{"Line": {text.Line, nil}, "Name": {text.Name, nil}, "Paragraph": {text.Paragraph, []rune{'\n', '\t'}}}
	for name, kind := range kinds {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s := typed().Draw(t, "typed")
				got := kind.clean(s)
				if fault := faultIn(got, kind.kept...); fault != "" {
					t.Fatalf("%+q %s", got, fault)
				}
				if again := kind.clean(got); again != got {
					t.Fatalf("%+q is cleaned again to %+q", got, again)
				}
				if text.Empty(s) && got != "" {
					t.Fatalf("%+q is invisible and is cleaned to %+q", s, got)
				}
			})
		})
	}
}

func TestVisibleTextStays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[!-~]{1,8}`), 0, 8).Draw(t, "words"), " ")
		if text.Line(s) != s || text.Name(s) != s || text.Paragraph(s) != s {
			t.Fatalf("%q is cleaned to %q, %q, %q", s, text.Line(s), text.Name(s), text.Paragraph(s))
		}
	})
}

func TestFoldIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := typed().Draw(t, "typed")
		key := text.Fold(s)
		if again := text.Fold(key); again != key {
			t.Fatalf("%+q is folded again to %+q", key, again)
		}
		if same := text.Same(s, text.Line(" "+s+"\n")); same == text.Empty(s) {
			t.Fatalf("%+q and the same in a line: %v", s, same)
		}
	})
}

// Every accepted address is one line and one address, is accepted again unchanged, and is
// read the same by net/mail, which knows more forms. About a third of the drawn addresses
// are good.
func TestAcceptedAddressesAreSafe(t *testing.T) {
	accepted := 0
	piece := rapid.SampledFrom([]string{
		"", "", "", "", "", "", "", ".", "\r\n", "\x00", "\"", "<", ">", " ", ",", ";", ":", "[", "@", "-",
		"\u2028", "\u200b", "\u202e", "\u00e9", "\uff0e", "(x)",
	})
	rapid.Check(t, func(t *rapid.T) {
		local := rapid.StringMatching(`[a-zA-Z0-9+_'-]{1,6}`).Draw(t, "local") + piece.Draw(t, "after the local part")
		domain := rapid.StringMatching(`[a-zA-Z0-9]{1,6}`).Draw(t, "domain") + piece.Draw(t, "within the domain")
		got, err := text.Address(local + "@" + domain + ".org")
		if err != nil {
			if got != "" {
				t.Fatalf("refused, but returned %q", got)
			}
			return
		}
		accepted++
		parsed, err := mail.ParseAddress(got)
		if err != nil || parsed.Address != got || len(got) > text.LongestAddress {
			t.Fatalf("accepted %q", got)
		}
		special := func(r rune) bool { return r <= ' ' || r > '~' || strings.ContainsRune("<>\",;:[]()", r) }
		if strings.ContainsFunc(got, special) {
			t.Fatalf("accepted %+q", got)
		}
		if again, err := text.Address(got); err != nil || again != got {
			t.Fatalf("%q is read again as %q, %v", got, again, err)
		}
	})
	if accepted < 5 && !testing.Short() { // which draws few
		t.Errorf("%d drawn addresses were accepted: too few to test the property", accepted)
	}
}

// Every accepted number is in the form of E.164, is the same phone as the typed one, and is
// read the same from its displayed form.
func TestAcceptedPhonesRoundTrip(t *testing.T) {
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		region := rapid.SampledFrom([]string{"US", "MX", "AU", "ES", "ZA", "OM", "AR", ""}).Draw(t, "region")
		typed := rapid.OneOf(
			rapid.StringMatching(`(\+(1|34|61|27) ?)?[(]?[2-9]\d{2}[)]?[ .-]?\d{3}[ .-]?\d{2,5}`),
			rapid.StringMatching(`(\+1 ?)[(]?(602|928|480|415)[)]?[ .-]?[2-9]\d{2}[ .-]?\d{4}`), // all good
		).Draw(t, "typed")
		p, err := text.ParsePhone(typed, region)
		if err != nil {
			return
		}
		accepted++
		digits := strings.TrimPrefix(string(p), "+")
		if digits == string(p) || len(digits) > 15 || strings.Trim(digits, "0123456789") != "" {
			t.Fatalf("%q is kept as %q", typed, p)
		}
		if digits != text.Digits(p.Display()) {
			t.Fatalf("%q is kept as %q and displayed as %q", typed, p, p.Display())
		}
		inserts := region == "AR" || region == "MX" // their numbers get an extra 9 or 1
		if !inserts && !text.SamePhone(typed, p.Display()) {
			t.Fatalf("%q is another phone than %q", typed, p.Display())
		}
		if again, err := text.ParsePhone(p.Display(), region); err != nil || again != p {
			t.Fatalf("%q is read again as %q, %v", p.Display(), again, err)
		}
	})
	if accepted < 5 && !testing.Short() { // which draws few
		t.Errorf("%d drawn numbers were accepted: too few to test the property", accepted)
	}
}
