package ui

// LinkTo is a cell with a phone number or a mail address as a link. An empty one reads "not known".
func LinkTo(scheme, address string) Cell {
	if address == "" {
		return Cell{}
	}
	return Cell{Part: reachLink(scheme, address)}
}
