package text_test

import (
	"strings"
	"testing"

	"saltbush/internal/text"
)

// Numbers with 555 01xx are reserved for fiction (NANPA, 555 line number policy). The rest
// are made up.
func TestParsePhone(t *testing.T) {
	tests := []struct {
		name, in, region string
		want             text.Phone
		shown            string // as displayed, or a part of the error
	}{
		{"ten digits", "480-555-0155", "US", "+14805550155", "+1 480-555-0155"},
		{"in brackets, with dots", "(480) 555.0155", "US", "+14805550155", "+1 480-555-0155"},
		{"with its country code, elsewhere", "+1 480 555 0155", "AU", "+14805550155", "+1 480-555-0155"},
		{"of another country", "+49 30 123456", "US", "+4930123456", "+49 30 123456"},
		{"with the 0 before the area code", "030 123456", "DE", "+4930123456", "+49 30 123456"},
		{"a 0 that belongs to the number", "02 1234 5678", "IT", "+390212345678", "+39 02 1234 5678"},
		{"copied from a page, with its hyphens", "480\u2011555\u00a00155", "US", "+14805550155", "+1 480-555-0155"},
		{"copied with hidden marks around it", "\u202a480-555-0155\u202c", "US", "+14805550155", "+1 480-555-0155"},
		{"digits of full width", "480 555 \uff10\uff11\uff15\uff15", "US", "+14805550155", "+1 480-555-0155"},
		{"Arabic digits", "\u0669\u0662\u0661\u0662 \u0663\u0664\u0665\u0666", "OM", "+96892123456", "+968 9212 3456"},
		{"Persian digits", "480 555 \u06f0\u06f1\u06f5\u06f5", "US", "+14805550155", "+1 480-555-0155"},
		{"too short", "480-555-015", "US", "", "has 9 digits, which are too few"},
		{"too long", "480-555-01556", "US", "", "has 11 digits, which are too many"},
		{"without area code", "555-0155", "US", "", "too few"},
		{"no such area", "155-555-0155", "US", "", "No number like this"},
		{"region not known", "480-555-0155", "", "", "country code"},
		{"words", "call my wife", "US", "", "area code"},
		{"letters on the keys", "1-800-FLOWERS", "US", "", "area code"},
		{"an extension", "480-555-0155 ext 3", "US", "", "area code"},
		{"a tel: address", "tel:480-555-0155", "US", "", "area code"},
		{"huge", strings.Repeat("5", 300), "US", "", "area code"},
		{"nothing", "", "US", "", "area code"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := text.ParsePhone(tt.in, tt.region)
			if p != tt.want || (err == nil) != (tt.want != "") {
				t.Fatalf("ParsePhone(%+q, %q) = %q, %v, want %q", tt.in, tt.region, p, err, tt.want)
			}
			if err == nil && p.Display() != tt.shown || err != nil && !strings.Contains(err.Error(), tt.shown) {
				t.Errorf("%q: shown %q, %v, want %q", tt.in, p.Display(), err, tt.shown)
			}
		})
	}
}

func TestDisplayOfOtherText(t *testing.T) {
	if got := text.Phone("radio 4").Display(); got != "radio 4" {
		t.Errorf("displayed as %q", got)
	}
}

func TestSamePhone(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want bool
	}{
		{"602-555-0144", "+1 602 555 0144", true},
		{"030 123456", "+49 30 123456", true},
		{"602-555-0144", "702-555-0144", false},
		{"0144", "602-555-0144", false},
		{"", "", false},
		{"555-0144", "602-555-0144", true},
		{"602\u2011555\u20110144", "+1 602-555-0144", true},
		{"\u0669\u0662\u0661\u0662 \u0663\u0664\u0665\u0666", "+968 9212 3456", true},
	} {
		if got := text.SamePhone(tt.a, tt.b); got != tt.want {
			t.Errorf("SamePhone(%q, %q) = %v", tt.a, tt.b, got)
		}
		if got := text.SamePhone(tt.b, tt.a); got != tt.want {
			t.Errorf("SamePhone(%q, %q) = %v", tt.b, tt.a, got)
		}
	}
}

func TestDigits(t *testing.T) {
	for in, want := range map[string]string{"": "", "none": "", "+1 (602)": "1602", "\u0661\u06f2\uff13": "123"} {
		if got := text.Digits(in); got != want {
			t.Errorf("Digits(%+q) = %q, want %q", in, got, want)
		}
	}
}
