package party

// LastSearch returns the latest search, and whether it still needs the page: somebody is missing, or
// somebody has not been told that they are found.
func (s State) LastSearch() (last Search, shown bool) {
	n := len(s.Searches)
	if n == 0 {
		return last, false
	}
	last = s.Searches[n-1]
	return last, last.Ended.IsZero() || last.NextToNotify() != ""
}

// MissedNames lists who was missed in a search, and how many more without a name.
func (s State) MissedNames(x Search) []string {
	names := s.Names(x.Persons)
	if more := x.Number - len(x.Persons); more > 0 {
		names = append(names, PeopleWords(more)+" not known by name")
	}
	return names
}
