package ui

// LinkTo is a cell that writes or rings; an empty one says that it is not known.
func LinkTo(scheme, address string) Cell {
	if address == "" {
		return Cell{}
	}
	return Cell{Part: reachLink(scheme, address)}
}
