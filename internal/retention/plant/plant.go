// Package plant fills sign-ups with words that tests then look for: on pages, and in the
// database after a deletion. Only tests import it.
package plant

import (
	"fmt"
	"strings"

	"saltbush/internal/retention"
	"saltbush/internal/signup"
)

// Fill writes its planted word into every field of the registry that has one. The number, of
// one digit, tells people apart.
func Fill(s *signup.SignUp, n int) {
	for _, f := range retention.Fields() {
		if f.Planted == "" || f.At == nil {
			continue
		}
		switch at := f.At(s).(type) {
		case *string:
			*at = Word(f, n)
		case *[]string:
			*at = []string{Word(f, n)}
		default:
			panic("no word can be planted in " + f.Name)
		}
	}
}

// Text returns the text of a field that Fill writes to; "" for any other field.
func Text(f retention.Field, s signup.SignUp) string {
	if f.Planted == "" || f.At == nil {
		return ""
	}
	if list, is := f.Value(s).([]string); is {
		return strings.Join(list, " ")
	}
	return f.Value(s).(string)
}

// Word returns what Fill writes into a field.
func Word(f retention.Field, n int) string { return fmt.Sprintf(f.Planted, n) }
