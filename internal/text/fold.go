package text

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// Fold returns a text in a form for comparing: a Name without case, joiners and spacing. It
// follows canonical caseless matching (Unicode 15.0, section 3.13, D145) with the simple case
// mappings. Accents count: Jose and José differ.
//
// Use it for searches and for warnings of duplicates only. People are identified by id.
func Fold(s string) string {
	s = strings.Map(func(r rune) rune {
		if isJoiner(r) {
			return -1
		}
		return r
	}, Name(s))
	// To upper case first: several letters can have one capital, such as the two small sigmas.
	return norm.NFC.String(strings.ToLower(strings.ToUpper(norm.NFD.String(s))))
}

// Same reports whether two texts are equal after Fold and not empty. Like Fold it is for
// searches and warnings only.
func Same(a, b string) bool {
	a, b = Fold(a), Fold(b)
	return a == b && a != ""
}
