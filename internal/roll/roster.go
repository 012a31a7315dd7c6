package roll

// Entry is one person whom the roll expects.
type Entry struct {
	ID    PersonID `json:"id"`
	Name  string   `json:"name"`
	Staff bool     `json:"staff,omitempty"`
	// Role is the staff role in plain words: leader, sweep or assistant.
	Role string `json:"role,omitempty"`
	// Minor people are under age.
	Minor bool `json:"minor,omitempty"`
	// ResponsibleFor lists the minors in this person's charge.
	ResponsibleFor []PersonID `json:"responsible_for,omitempty"`
	// Lacks says what of a walker's papers is not in order, in words; empty for fine.
	Lacks []string `json:"lacks,omitempty"`
	// ActionLine says that there is something the leader must know or do for the person.
	ActionLine bool `json:"action_line,omitempty"`
	// Plate is the number plate of the car that the person said they come in.
	Plate string `json:"plate,omitempty"`
}

// Roster is everyone with a confirmed place and all staff, in the order of the sheet.
type Roster []Entry

// union lists the ids of both, each once, in the order of first mention.
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
