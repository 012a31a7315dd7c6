package party

import "slices"

// Entry is one person whom the roll expects.
type Entry struct {
	ID    PersonID `json:"id"`
	Name  string   `json:"name"`
	Staff bool     `json:"staff,omitempty"`
	// Role is the staff role in plain words: leader, sweep or assistant.
	Role string `json:"role,omitempty"`
	// Minor is set for people under age.
	Minor bool `json:"minor,omitempty"`
	// ResponsibleFor lists the minors this person is responsible for.
	ResponsibleFor []PersonID `json:"responsible_for,omitempty"`
	// Lacks lists what is missing from a walker's papers, in words; empty if nothing is.
	Lacks []string `json:"lacks,omitempty"`
	// ActionLine means that the leader must know or do something for the person.
	ActionLine bool `json:"action_line,omitempty"`
	// Plate is the number plate of the car the person said they would come in.
	Plate string `json:"plate,omitempty"`
	// Drives means that the person said they would come in a car of their own.
	Drives bool `json:"drives,omitempty"`
}

// Roster lists all staff and everyone with a confirmed spot, in the order of the sheet.
type Roster []Entry

// union lists the IDs of both, each once, in the order of first mention.
func union(a, b []PersonID) []PersonID {
	out := make([]PersonID, 0, len(a)+len(b))
	seen := make(map[PersonID]bool, len(a)+len(b))
	for _, ids := range [][]PersonID{a, b} {
		for _, id := range ids {
			if !seen[id] {
				seen[id] = true
				out = append(out, id)
			}
		}
	}
	return out
}

// inCharge makes one adult responsible for minors at the trailhead, and nobody else.
func (r *reducer) inCharge(e Event) {
	minors := idsOf(r.people(e, e.Persons))
	for _, adult := range r.people(e, e.Buddies) {
		for i := range r.state.People {
			p := &r.state.People[i]
			p.ResponsibleFor = slices.DeleteFunc(p.ResponsibleFor, func(id PersonID) bool {
				return slices.Contains(minors, id)
			})
		}
		adult.ResponsibleFor = append(adult.ResponsibleFor, minors...)
	}
}

// ResponsibleOf returns the adult who is responsible for a minor.
func (s State) ResponsibleOf(minor PersonID) (Person, bool) {
	i := slices.IndexFunc(s.People, func(p Person) bool { return slices.Contains(p.ResponsibleFor, minor) })
	if i < 0 {
		return Person{}, false
	}
	return s.People[i], true
}

// childrenAlone flags each minor on the trail whose responsible adult is elsewhere.
func (r *reducer) childrenAlone() {
	for i := range r.state.People {
		adult := &r.state.People[i]
		for _, id := range adult.ResponsibleFor {
			j, known := r.index[id]
			if !known {
				continue
			}
			child := &r.state.People[j]
			if child.Where.onTrail() && (child.Where != adult.Where || child.Party != adult.Party) {
				r.flag(childAlone(child, adult))
			}
		}
	}
}

func childAlone(child, adult *Person) Flag {
	f := Flag{
		Kind: FlagChildAlone, Grave: true, At: later(child.Since, adult.Since),
		Persons: []PersonID{child.ID, adult.ID},
		Words:   child.Name + " is " + string(child.Where) + " without " + adult.Name + ", who is responsible",
	}
	return f.about(child.by, adult.by)
}

// lacksOfWalkUp lists what is missing from the answers of somebody who joined at the
// trailhead.
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
