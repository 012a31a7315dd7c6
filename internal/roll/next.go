package roll

// Next says where a record of a kind takes a person who was at from: the rule by which
// Fold moves people. A device without signal asks it through a table.
func Next(k Kind, from Whereabouts) Whereabouts { return stepOf(k, from).to }

// AllWhereabouts lists every whereabouts in the order of a hike.
func AllWhereabouts() []Whereabouts {
	return []Whereabouts{
		WhereExpected, WhereHere, WhereAbsent, WhereTurnedAway, WhereOut, WhereLeftEarly, WhereAtCar, WhereBack, WhereHandedOver,
	}
}

// Mark is the record that put the person where they are, empty while none has: what an
// undo has to take back.
func (p Person) Mark() EventID { return p.by }
