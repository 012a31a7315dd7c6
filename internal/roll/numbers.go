package roll

import "time"

// Numbers are what a roll says without naming anybody: what a land manager is told.
type Numbers struct {
	// Walkers and Staff are planned; Cars are those that they said to come in or that stood in
	// the lot as theirs.
	Walkers, Staff, Cars int
	// Departed is zero while the party has not left. Out is how many set out, those who
	// joined included, LeftEarly how many of them left before the end.
	Departed       time.Time
	Out, LeftEarly int
	// Back is when the last of them was noted back; zero while a name or number is open.
	Back time.Time
}

// NumbersOf counts a roll.
func NumbersOf(r Record) Numbers {
	var n Numbers
	for _, e := range r.Roster {
		if e.Staff {
			n.Staff++
		} else {
			n.Walkers++
		}
	}
	s := r.State()
	for _, c := range s.Cars {
		if c.Ours() {
			n.Cars++
		}
	}
	if s.Departed.IsZero() {
		return n
	}
	n.Departed, n.Out, n.LeftEarly = s.Departed, s.Out+s.Joined, s.LeftEarly
	if !s.AllAccounted {
		return n
	}
	for _, p := range s.People {
		if p.Where == WhereBack || p.Where == WhereAtCar {
			n.Back = latest(n.Back, p.Since)
		}
	}
	return n
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
