package signup

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"

	"saltbush/internal/unit"
)

// KitItem is one thing to bring, and why if that is not obvious.
type KitItem struct{ What, Why string }

// Kit lists what everybody brings besides water and food. Common practice, no source.
func Kit() []KitItem {
	return []KitItem{
		{"Closed shoes with a tread", "without them you are turned away"},
		{"Hat with a brim, long sleeves", "shade is scarce; carry your own"},
		{"Sun cream", ""},
		{"Lamp", "in every pack, whatever the hour"},
		{"Whistle", "three blows: I need help"},
		{"Your own medicine for 24 hours", "tell the leader where in your pack it is"},
		{"Phone, charged, in flight mode", "there may be no signal, and searching for one empties it"},
	}
}

// Risks are the sentences a person accepts. Common practice, no source; the organization's own
// counsel should check them.
func Risks() []string {
	return []string{
		"Heat, falls, animals, storms and being far from help can hurt or kill on this hike, and the leaders are " +
			"volunteers.",
		"I bring the water and shoes it asks for, and I say early when I feel unwell.",
		"The leader may turn me away, change the hike or stop it, and I follow.",
	}
}

// RisksVersion returns the text of the risks and its version, a hash of the text. A version
// therefore always means the same text.
func RisksVersion() (version, text string) {
	text = strings.Join(Risks(), "\n")
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:4]), text
}

// RecentWalk returns how long a walk in the last eight weeks must have been to take part in one
// of this length without a talk first. Our judgment: 60 %.
func RecentWalk(length unit.Length) unit.Length { return length * 6 / 10 }
