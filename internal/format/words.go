package format

import (
	"fmt"
	"strings"
)

// Names lists names as in a sentence: "Ann, Bo and Cy".
func Names(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

// OrElse returns the text, or the other if the text is empty.
func OrElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

// SentenceCase starts words with a capital and ends them with one period. It panics if there
// are none.
func SentenceCase(words string) string {
	return strings.ToUpper(words[:1]) + strings.TrimSuffix(words[1:], ".") + "."
}

// NamesShort lists up to four names and counts the rest: "Ann, Bo, Cy, Di and 2 more".
func NamesShort(names []string) string {
	const most = 4
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// SentenceWord starts a word with a capital. It panics if the word is empty.
func SentenceWord(w string) string { return strings.ToUpper(w[:1]) + w[1:] }

// Join joins words of any string type: a list of roles, of factors, of kinds.
func Join[T ~string](words []T, separator string) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return strings.Join(list, separator)
}
