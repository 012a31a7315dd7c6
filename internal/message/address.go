package message

import (
	"fmt"
	"net/mail"
	"strings"
	"unicode"
)

// Longest parts of an address in octets.
// RFC 5321 (2008), sections 4.5.3.1.1 (local part) and 4.5.3.1.3 (path of 256 with its
// brackets); RFC 1035 (1987), section 2.3.4 (label).
const (
	maxLocal   = 64
	maxAddress = 254
	maxLabel   = 63
)

// ParseAddress reads one bare address, such as wren@example.org, and returns it with the
// domain in lower case. Refusals are a FieldError of the field "to".
//
// House judgement: names beside the address, quoted local parts, addresses of machines
// in brackets and letters beyond ASCII are refused; members do not have them, and each
// of them is a way for mail to go astray.
func ParseAddress(s string) (string, error) {
	s = strings.Trim(s, " ")
	if err := checkLine("to", s, maxAddress); err != nil {
		return "", err
	}
	local, domain, _ := strings.Cut(s, "@")
	parsed, err := mail.ParseAddress(s)
	if err != nil || parsed.Address != s || strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII }) {
		return "", addressError(s, "write it as name@example.org")
	}
	if strings.Contains(local, `"`) || len(local) > maxLocal {
		return "", addressError(s, "the part before the @ is quoted or longer than 64 letters")
	}
	if !isDomain(strings.ToLower(domain)) {
		return "", addressError(s, "the part after the @ is not the name of a domain")
	}
	return local + "@" + strings.ToLower(domain), nil
}

func addressError(s, hint string) error {
	return &FieldError{"to", fmt.Errorf("%w: %q: %s", ErrAddress, s, hint)}
}

// isDomain tells whether the name has at least two labels and does not end in a number.
func isDomain(name string) bool {
	labels := strings.Split(name, ".")
	for _, l := range labels {
		if !isLabel(l) {
			return false
		}
	}
	last := labels[len(labels)-1]
	return len(labels) > 1 && strings.Trim(last, "0123456789") != ""
}

func isLabel(l string) bool {
	const allowed = "abcdefghijklmnopqrstuvwxyz0123456789-"
	return l != "" && len(l) <= maxLabel && strings.Trim(l, allowed) == "" && l[0] != '-' && l[len(l)-1] != '-'
}
