package hike

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
