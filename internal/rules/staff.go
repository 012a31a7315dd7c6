package rules

const Ratio = 8

const FewestStaff = 2

// StaffNeededAt returns how many staff so many participants ask for at a ratio: never
// fewer than two.
func StaffNeededAt(participants, ratio int) int {
	return max(FewestStaff, (participants+ratio-1)/ratio)
}
