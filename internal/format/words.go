package format

import (
	"fmt"
	"strings"
)

// Names writes names as in a sentence.
func Names(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

func OrElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

// SentenceCase makes a sentence of words that stand inside one.
func SentenceCase(words string) string {
	return strings.ToUpper(words[:1]) + strings.TrimSuffix(words[1:], ".") + "."
}

// NamesShort lists a few names and counts the rest.
func NamesShort(names []string) string {
	const most = 4
	text := ""
	for i, n := range names {
		if i == most {
			return fmt.Sprintf("%s and %d more", text, len(names)-most)
		}
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}

func SentenceWord(w string) string { return strings.ToUpper(w[:1]) + w[1:] }
