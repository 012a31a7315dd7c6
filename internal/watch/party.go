package watch

import "saltbush/internal/party"

// walking corrects who walks by the roll as it stands: those who did not come or were sent
// home make a party smaller than its list, and walk-ups are on no list. What a promise
// says of a party decides how soon help is called, so it is about those who left.
//
// House judgement: where a number left without names, or nobody has reported the
// departure, everybody who may be walking counts as doing so. Something that the leader
// must do for a person counts as a medical card; what it says is not looked at.
func walking(p Promise, s party.State) Promise {
	if len(s.People) == 0 {
		return p
	}
	p.Adults, p.Minors, p.MedicalCard = 0, false, false
	known := !s.Departed.IsZero() && s.Unnamed == 0
	for _, x := range s.People {
		if !mayWalk(x, known) {
			continue
		}
		if x.Minor {
			p.Minors = true
		} else {
			p.Adults++
		}
		p.MedicalCard = p.MedicalCard || x.ActionLine
	}
	return p
}

func mayWalk(x party.Person, known bool) bool {
	switch x.Where {
	case party.WhereAbsent, party.WhereTurnedAway:
		return false
	case party.WhereExpected, party.WhereHere:
		return !known
	}
	return true
}
