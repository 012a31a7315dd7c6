package text

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/nyaruka/phonenumbers"
	"golang.org/x/text/width"
)

// Phone is a number with its country code in the form of ITU-T E.164 (2010), section 6:
// a + and at most 15 digits, such as +16025550144.
type Phone string

// Texts of faults. The %d is how many digits were given.
const (
	noNumber = "Give a phone number with its area code; " +
		"a number of another country begins with + and the country code."
	tooShort = "This number has %d digits, which are too few. Give it with its area code; " +
		"a number of another country begins with + and the country code."
	tooLong = "This number has %d digits, which are too many here. " +
		"A number of another country begins with + and the country code."
	notGiven = "No number like this is given out here. Look at it again; " +
		"a number of another country begins with + and the country code."
)

// ParsePhone reads a phone number as people in the region write it. The region is a country
// code of ISO 3166-1, or empty if unknown. Numbers of other countries need their country
// code. The error is a Fault.
func ParsePhone(s, region string) (Phone, error) {
	s = dialed(s)
	n, err := phonenumbers.Parse(s, region)
	if err != nil || strings.Trim(s, "0123456789 +-().") != "" {
		return "", Fault(noNumber)
	}
	if phonenumbers.IsValidNumber(n) {
		return Phone(phonenumbers.Format(n, phonenumbers.E164)), nil
	}
	switch phonenumbers.IsPossibleNumberWithReason(n) {
	case phonenumbers.TOO_SHORT, phonenumbers.IS_POSSIBLE_LOCAL_ONLY:
		return "", Fault(fmt.Sprintf(tooShort, len(Digits(s))))
	case phonenumbers.TOO_LONG:
		return "", Fault(fmt.Sprintf(tooLong, len(Digits(s))))
	}
	return "", Fault(notGiven)
}

// Display returns the number in the printed form of ITU-T E.123 (2001), section 2, such as
// +1 602-555-0144.
func (p Phone) Display() string {
	n, err := phonenumbers.Parse(string(p), "")
	if err != nil {
		return string(p)
	}
	return phonenumbers.Format(n, phonenumbers.INTERNATIONAL)
}

const (
	shortestPhone = 7 // Our judgment: shorter numbers are extensions.
	// ITU-T E.164 (2010), section 6.2.1: a country code has one to three digits.
	longestCountryCode = 3
)

// SamePhone reports whether two numbers are the same phone. Either may have a country code
// or the 0 before an area code.
func SamePhone(a, b string) bool {
	a, b = strings.TrimLeft(Digits(a), "0"), strings.TrimLeft(Digits(b), "0")
	if len(a) > len(b) {
		a, b = b, a
	}
	return len(a) >= shortestPhone && strings.HasSuffix(b, a) && len(b)-len(a) <= longestCountryCode
}

// Digits returns the digits of a number, in ASCII.
func Digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, dialed(s))
}

// dialed returns a number with ASCII digits and hyphens. Text copied from pages and documents
// has full-width, Arabic or Persian digits and other dashes.
func dialed(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= '\u0660' && r <= '\u0669': // Arabic-Indic digits
			return '0' + r - '\u0660'
		case r >= '\u06f0' && r <= '\u06f9': // Extended Arabic-Indic digits
			return '0' + r - '\u06f0'
		case unicode.Is(unicode.Pd, r):
			return '-'
		}
		return r
	}, Line(width.Fold.String(s)))
}
