package text

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// Fold returns a text in the form in which texts are compared: a Name without regard to
// case, joiners and spacing. It follows canonical caseless matching (Unicode 15.0, section
// 3.13, D145), with the simple case mappings: accents count, so Jose and José are two names.
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
	// To upper case first: several letters may have one capital, such as the two small sigmas.
	return norm.NFC.String(strings.ToLower(strings.ToUpper(norm.NFD.String(s))))
}

// Same reports whether two texts read the same, as Fold compares them. Nothing is the same
// as an empty text. Like Fold it is for searches and warnings only.
func Same(a, b string) bool {
	a, b = Fold(a), Fold(b)
	return a == b && a != ""
}
