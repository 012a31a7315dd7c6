package message

import (
	"crypto/ecdh"
	"testing"
)

// The one worked example of the standard: RFC 8291 (2017), section 5 and appendix A [F].
func TestSealIsThatOfTheStandard(t *testing.T) {
	read := func(s string) []byte {
		b, err := FromBrowser(s)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	once, err := ecdh.P256().NewPrivateKey(read("yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"))
	if err != nil {
		t.Fatal(err)
	}
	s := Subscription{
		P256dh: read("BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"),
		Auth:   read("BTBZMqHH6r4Tts7J_aSIgg"),
	}
	got, err := sealWith(s, []byte("When I grow up, I want to be a watermelon"), once, read("DGv6ra1nlYgDCS1FRnbzlw"))
	if err != nil {
		t.Fatal(err)
	}
	const want = "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLoc" +
		"InmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj" +
		"_Qulcy4a-fN"
	if unpadded(got) != want {
		t.Errorf("sealed %s\n  want %s", unpadded(got), want)
	}
}
