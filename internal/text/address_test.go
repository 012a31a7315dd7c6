package text_test

import (
	"errors"
	"strings"
	"testing"

	"saltbush/internal/text"
)

func TestAddress(t *testing.T) {
	const atext = "!#$%&'*+-/=?^_`{|}~"
	long, letters := strings.Repeat("abcdefghi.", 25), strings.Repeat("w", 64)
	tests := []struct {
		name, source, in, want string
		err                    error
	}{
		{"plain", "RFC 5322, 3.4.1", "wren@example.org", "wren@example.org", nil},
		{"the domain in lower case", "RFC 5321, 2.4", " Wren.Abara@Example.ORG ", "Wren.Abara@example.org", nil},
		{"every sign of atext", "RFC 5322, 3.2.3", atext + "@x.org", atext + "@x.org", nil},
		{"a domain in ASCII", "RFC 5890, 2.3.2.1", "wren@xn--bcher-kva.example", "wren@xn--bcher-kva.example", nil},
		{"a domain in its own letters", "RFC 5891, 5", "wren@B\u00fccher.example", "wren@xn--bcher-kva.example", nil},
		{"full stop of another script", "UTS #46, 4", "wren@example\u3002org", "wren@example.org", nil},
		{"a domain in other letters", "RFC 5892, 2", "wren@\u2603\ufe0f\u202e.example", "", text.ErrDomain},
		{"64 letters before the at", "RFC 5321, 4.5.3.1.1", letters + "@example.org", letters + "@example.org", nil},
		{"65 letters before the at", "RFC 5321, 4.5.3.1.1", letters + "w@example.org", "", text.ErrLocalPart},
		{"254 in all", "RFC 5321, 4.5.3.1.3", "w@" + long + "de", "w@" + long + "de", nil},
		{"255 in all", "RFC 5321, 4.5.3.1.3", "w@" + long + "def", "", text.ErrAddressLong},
		{"a label of 63", "RFC 1035, 2.3.4", "w@" + letters[1:] + ".org", "w@" + letters[1:] + ".org", nil},
		{"a label of 64", "RFC 1035, 2.3.4", "w@" + letters + ".org", "", text.ErrDomain},
		{"empty", "RFC 5322, 3.4.1", "  ", "", text.ErrAddress},
		{"no at", "RFC 5322, 3.4.1", "wren.example.org", "", text.ErrAddress},
		{"two ats", "RFC 5322, 3.4.1", "wren@abara@example.org", "", text.ErrAddress},
		{"nothing before the at", "RFC 5322, 3.4.1", "@example.org", "", text.ErrAddress},
		{"nothing after the at", "RFC 5322, 3.4.1", "wren@", "", text.ErrDomain},
		{"two addresses", "RFC 5322, 3.4", "wren@example.org, abara@example.org", "", text.ErrAddress},
		{"a name with it", "RFC 5322, 3.4", "Wren <wren@example.org>", "", text.ErrAddress},
		{"brackets", "RFC 5322, 3.4", "<wren@example.org>", "", text.ErrAddress},
		{"a comment", "RFC 5322, 3.2.2", "wren@example.org (home)", "", text.ErrDomain},
		{"quoted", "RFC 5322, 3.2.4", `"wren abara"@example.org`, "", text.ErrLocalPart},
		{"two dots", "RFC 5322, 3.2.3", "wren..abara@example.org", "", text.ErrAddress},
		{"a dot before the at", "RFC 5322, 3.2.3", "wren.@example.org", "", text.ErrAddress},
		{"a space", "RFC 5322, 3.2.3", "wren abara@example.org", "", text.ErrAddress},
		{"a machine of the house", "RFC 5321, 2.3.5", "boss@intranet", "", text.ErrDomain},
		{"a maker's name alone", "RFC 5321, 2.3.5", "jane@gmail", "", text.ErrDomain},
		{"a machine's number", "RFC 1123, 2.1", "wren@192.0.2.7", "", text.ErrDomain},
		{"a machine's number in brackets", "RFC 5321, 4.1.3", "wren@[192.0.2.7]", "", text.ErrDomain},
		{"a hyphen at the end", "RFC 1123, 2.1", "wren@example-.org", "", text.ErrDomain},
		{"an underscore", "RFC 1123, 2.1", "wren@my_house.org", "", text.ErrDomain},
		{"a dot at the end", "RFC 5321, 4.1.2", "wren@example.org.", "", text.ErrDomain},
		{"letters beyond ASCII before the at", "RFC 5321, 4.1.2", "wr\u00e9n@example.org", "", text.ErrAddress},
		{"a hidden character", "UAX #44, Cf", "wr\u200ben@example.org", "", text.ErrAddress},
		{"a line break", "RFC 5321, 4.1.2", "wren@example.org\r\nRCPT TO:<all@example.org>", "", text.ErrAddress},
		{"a line break at the end", "RFC 5321, 4.1.2", "wren@example.org\n", "", text.ErrDomain},
		{"a zero byte", "RFC 5321, 4.1.2", "wren\x00@example.org", "", text.ErrAddress},
		{"no text", "RFC 3629, 3", "wren\xff@example.org", "", text.ErrAddress},
		{"lost text in the domain", "RFC 5892, 2", "wren@ex\ufffdample.org", "", text.ErrDomain},
		{"no text in the domain", "RFC 3629, 3", "wren@ex\xffample.org", "", text.ErrDomain},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := text.Address(tt.in)
			if got != tt.want || !errors.Is(err, tt.err) {
				t.Errorf("Address(%+q) = %q, %v, want %q, %v (%s)", tt.in, got, err, tt.want, tt.err, tt.source)
			}
		})
	}
}
