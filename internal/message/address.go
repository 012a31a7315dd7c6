package message

import (
	"fmt"
	"strings"

	"saltbush/internal/text"
)

// ParseAddress reads one bare address, as text.Address has it. Addresses were checked when
// they came in; this is asked once more before anything is sent, because older ones were
// checked less. Refusals are a FieldError of the field "to".
func ParseAddress(s string) (string, error) {
	s = strings.Trim(s, " ")
	if err := checkLine("to", s, text.LongestAddress); err != nil {
		return "", err
	}
	address, err := text.Address(s)
	if err != nil {
		return "", &FieldError{"to", fmt.Errorf("%w: %q: %w", ErrAddress, s, err)}
	}
	return address, nil
}
