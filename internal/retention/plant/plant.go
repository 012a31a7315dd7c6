// Package plant fills sign-ups with words that tests then look for: on the pages that people
// see, and in the database after a deletion. Only tests import it.
package plant

import (
	"fmt"
	"strings"

	"saltbush/internal/retention"
	"saltbush/internal/signup"
)

// Fill writes the planted word of every field of the registry that holds text into a sign-up.
// The number tells people apart; it has one digit.
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

// Text is what a sign-up holds in a field that Fill writes to, "" in any other.
func Text(f retention.Field, s signup.SignUp) string {
	if f.Planted == "" || f.At == nil {
		return ""
	}
	if list, is := f.Value(s).([]string); is {
		return strings.Join(list, " ")
	}
	return f.Value(s).(string)
}

// Word is what Fill writes into a field.
func Word(f retention.Field, n int) string { return fmt.Sprintf(f.Planted, n) }
