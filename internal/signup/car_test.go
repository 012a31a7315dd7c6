package signup_test

import (
	"testing"

	"saltbush/internal/signup"
)

func TestPlateKey(t *testing.T) {
	for _, tc := range []struct{ name, a, b string }{
		{"case", "kxr 204", "KXR 204"},
		{"blanks and dashes", "KXR-204", " KXR204 "},
		{"the blank of a phone's keyboard", "KXR\u00a0204", "kxr204"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if signup.PlateKey(tc.a) != signup.PlateKey(tc.b) {
				t.Errorf("%q and %q are one plate: got %q and %q",
					tc.a, tc.b, signup.PlateKey(tc.a), signup.PlateKey(tc.b))
			}
		})
	}
	if signup.PlateKey("KXR 204") == signup.PlateKey("KXR 240") {
		t.Error("two plates have one key")
	}
}
