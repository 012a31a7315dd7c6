package roll

import "slices"

// inCharge gives minors into the charge of one adult at the trailhead; whoever had them
// before has them no more.
func (f *reducer) inCharge(e Event) {
	minors := ids(f.people(e, e.Persons))
	for _, adult := range f.people(e, e.Buddies) {
		for i := range f.state.People {
			p := &f.state.People[i]
			p.ResponsibleFor = slices.DeleteFunc(p.ResponsibleFor, func(id PersonID) bool { return slices.Contains(minors, id) })
		}
		adult.ResponsibleFor = append(adult.ResponsibleFor, minors...)
	}
}

// ResponsibleOf returns the adult who answers for a minor.
func (s State) ResponsibleOf(minor PersonID) (Person, bool) {
	i := slices.IndexFunc(s.People, func(p Person) bool { return slices.Contains(p.ResponsibleFor, minor) })
	if i < 0 {
		return Person{}, false
	}
	return s.People[i], true
}

// lacksOfWalkUp says what is not in order with somebody who joined at the trailhead.
func lacksOfWalkUp(e Event) []string {
	var lacks []string
	if e.Contact == "" {
		lacks = append(lacks, "no emergency contact")
	}
	if !e.Agreed {
		lacks = append(lacks, "risks not accepted")
	}
	return lacks
}
