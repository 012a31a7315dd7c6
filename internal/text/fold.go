package text

import (
	"strings"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Fold returns a text in the form in which texts are compared: a clean Name without
// regard to case, joiners and spacing (canonical caseless matching, Unicode 15.0, section
// 3.13, D145). Accents count: Jose and José are two names.
//
// It is for search boxes and for warnings of duplicates. It says nothing about who a person
// is: people are told apart by their id.
func Fold(s string) string {
	s = strings.Map(func(r rune) rune {
		if isJoiner(r) {
			return -1
		}
		return r
	}, Name(s))
	return norm.NFC.String(cases.Fold().String(norm.NFD.String(s)))
}

// Same reports whether two texts are the same to a reader, as Fold compares them. Empty
// texts are the same as nothing. Like Fold it is for searches and warnings only.
func Same(a, b string) bool {
	a, b = Fold(a), Fold(b)
	return a == b && !Empty(a)
}
