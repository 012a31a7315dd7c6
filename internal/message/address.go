package message

import (
	"fmt"
	"strings"

	"saltbush/internal/text"
)

// ParseAddress reads one address without a name, by the rules of text.Address. Addresses are
// checked when they come in, and here again before anything is sent, because old ones were
// checked less strictly. Its errors are FieldErrors of the field "to".
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
