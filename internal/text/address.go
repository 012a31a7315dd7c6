package text

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/idna"
)

// Length limits of an address and its parts, in octets.
const (
	// LongestAddress is the limit of 256 octets for a path, less its brackets. RFC 5321 (2008),
	// section 4.5.3.1.3, with erratum 1690 to RFC 3696.
	LongestAddress = 254
	longestLocal   = 64 // RFC 5321 (2008), section 4.5.3.1.1
	longestLabel   = 63 // RFC 1035 (1987), section 2.3.4
)

// Faults of addresses.
const (
	ErrAddress     Fault = "write it as name@example.org"
	ErrAddressLong Fault = "it is longer than 254 letters"
	ErrLocalPart   Fault = "the part before the @ is quoted or longer than 64 letters"
	ErrDomain      Fault = "the part after the @ is not the name of a domain"
)

// Address reads one bare mail address, such as wren@example.org (addr-spec of RFC 5322
// (2008), section 3.4.1), and returns it with its domain in lower case. Domains beyond ASCII
// are returned in their ASCII form (RFC 5891 (2010), section 5).
//
// Our judgment: display names, comments, quoted local parts, IP addresses, domains without a
// dot and local parts beyond ASCII are refused. Hardly anybody has such an address, and mail
// to them often gets lost.
func Address(s string) (string, error) {
	local, domain, found := strings.Cut(strings.Trim(s, " "), "@")
	switch {
	case !found || strings.Contains(domain, "@"):
		return "", ErrAddress
	case len(local) > longestLocal || strings.Contains(local, `"`):
		return "", ErrLocalPart
	case !isDotAtom(local):
		return "", ErrAddress
	}
	domain, err := asciiDomain(domain)
	switch {
	case err != nil || !isDomain(domain):
		return "", ErrDomain
	case len(local)+1+len(domain) > LongestAddress:
		return "", ErrAddressLong
	}
	return local + "@" + domain, nil
}

// isDotAtom reports whether s is a dot-atom-text of RFC 5322 (2008), section 3.2.3.
func isDotAtom(s string) bool {
	for _, atom := range strings.Split(s, ".") {
		if atom == "" || strings.ContainsFunc(atom, func(r rune) bool { return !isAtext(r) }) {
			return false
		}
	}
	return true
}

func isAtext(r rune) bool {
	switch {
	case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
		return true
	}
	return strings.ContainsRune("!#$%&'*+-/=?^_`{|}~", r)
}

func asciiDomain(s string) (string, error) {
	if !utf8.ValidString(s) {
		return "", ErrDomain // idna does not check this
	}
	if !strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII }) {
		return strings.ToLower(s), nil
	}
	return idna.Lookup.ToASCII(s)
}

// isDomain reports whether the lower-case name has at least two labels and is not an IP
// address.
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

// isLabel reports whether a label has only letters, digits and inner hyphens. RFC 1123
// (1989), section 2.1.
func isLabel(l string) bool {
	const allowed = "abcdefghijklmnopqrstuvwxyz0123456789-"
	return l != "" && len(l) <= longestLabel && strings.Trim(l, allowed) == "" && l[0] != '-' && l[len(l)-1] != '-'
}
