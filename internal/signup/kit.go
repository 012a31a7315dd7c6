package signup

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"

	"saltbush/internal/unit"
)

// KitItem is one thing to bring and why, where the reason is not plain.
type KitItem struct{ What, Why string }

// Kit lists what everybody brings beside water and food. Common practice of the trade,
// no source.
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

// Risks are what a person acknowledges; common practice of the trade, to be checked by
// the organisation's own counsel.
func Risks() []string {
	return []string{
		"Heat, falls, animals, storms and being far from help can hurt or kill on this hike, and the leaders are volunteers.",
		"I bring the water and shoes it asks for, and I say early when I feel unwell.",
		"The leader may turn me away, change the hike or stop it, and I follow.",
	}
}

// RisksVersion names the words of the risks by a hash of them, so that no version is ever
// two texts. The text is what is kept under it.
func RisksVersion() (version, text string) {
	text = strings.Join(Risks(), "\n")
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:4]), text
}

// RecentWalk is how long a walk of the last eight weeks speaks for coming on one of this
// length without a talk first. House judgement: 60 % of it.
func RecentWalk(length unit.Length) unit.Length { return length * 6 / 10 }
