package message_test

import (
	"errors"
	"strings"
	"testing"

	"saltbush/internal/message"
)

func TestParseAddress(t *testing.T) {
	tests := []struct {
		name, in, want string
		err            error
	}{
		{"plain", "wren@example.org", "wren@example.org", nil},
		{"the domain goes to lower case, the rest stays", " Wren.Abara@Example.ORG", "Wren.Abara@example.org", nil},
		{"plus and marks", "w+hike_1'x@mail.example.co", "w+hike_1'x@mail.example.co", nil},
		{"a domain in its ASCII form", "wren@xn--dne-hoa.example", "wren@xn--dne-hoa.example", nil},
		{"64 letters before the at", strings.Repeat("w", 64) + "@example.org", strings.Repeat("w", 64) + "@example.org",
			nil},
		{"65 letters before the at", strings.Repeat("w", 65) + "@example.org", "", message.ErrAddress},
		{"255 in all", "w@" + strings.Repeat("abcdefghi.", 25) + "org", "", message.ErrTooLong},
		{"a label of 64", "w@" + strings.Repeat("a", 64) + ".org", "", message.ErrAddress},
		{"empty", "  ", "", message.ErrEmpty},
		{"no at", "wren.example.org", "", message.ErrAddress},
		{"two ats", "wren@abara@example.org", "", message.ErrAddress},
		{"two addresses", "wren@example.org, abara@example.org", "", message.ErrAddress},
		{"a name with it", "Wren <wren@example.org>", "", message.ErrAddress},
		{"brackets", "<wren@example.org>", "", message.ErrAddress},
		{"a comment", "wren@example.org (home)", "", message.ErrAddress},
		{"quoted", `"wren abara"@example.org`, "", message.ErrAddress},
		{"two dots", "wren..abara@example.org", "", message.ErrAddress},
		{"no dot in the domain", "wren@localhost", "", message.ErrAddress},
		{"a machine's number", "wren@192.0.2.7", "", message.ErrAddress},
		{"a machine's number in brackets", "wren@[192.0.2.7]", "", message.ErrAddress},
		{"a hyphen at the end", "wren@example-.org", "", message.ErrAddress},
		{"a dot at the end", "wren@example.org.", "", message.ErrAddress},
		{"letters beyond ASCII", "wr\u00e9n@example.org", "", message.ErrAddress},
		{"a line break", "wren@example.org\r\nRCPT TO:<all@example.org>", "", message.ErrLineBreak},
		{"a line break at the end", "wren@example.org\n", "", message.ErrLineBreak},
		{"no text", "wren\xff@example.org", "", message.ErrNotText},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := message.ParseAddress(tt.in)
			if got != tt.want || !errors.Is(err, tt.err) {
				t.Errorf("ParseAddress(%q) = %q, %v, want %q, %v", tt.in, got, err, tt.want, tt.err)
			}
		})
	}
}
