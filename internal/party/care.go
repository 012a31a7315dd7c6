package party

import "slices"

// Sign is what a leader can see of somebody who is unwell. It is not a diagnosis.
type Sign string

// The signs, the gravest first.
const (
	SignConfused  Sign = "confused or not themselves"
	SignCollapsed Sign = "collapsed, or cannot be woken"
	SignBreathing Sign = "hard to breathe, or swelling face"
	SignBitten    Sign = "bitten by a snake"
	SignVomiting  Sign = "vomiting or sick"
	SignDizzy     Sign = "headache or dizzy"
	SignSweating  Sign = "sweating hard"
	SignCramps    Sign = "cramps"
	SignHurt      Sign = "hurt"
)

// Signs lists every sign.
func Signs() []Sign {
	return []Sign{
		SignConfused, SignCollapsed, SignBreathing, SignBitten, SignVomiting, SignDizzy, SignSweating, SignCramps,
		SignHurt,
	}
}

// emergency reports whether the sign alone means calling for help. Confusion or odd
// behavior during exertion in heat is treated as heat stroke until ruled out, sweating or
// not (NIOSH 2016-106; exertional heat stroke guidelines).
func (s Sign) emergency() bool {
	return s == SignConfused || s == SignCollapsed || s == SignBreathing || s == SignBitten
}

// Care is what to do at once.
type Care struct {
	Emergency bool
	Title     string
	Do        []string
}

// CareFor says what to do about signs. If one of them is an emergency it never advises to
// rest and wait, whatever the other signs are.
func CareFor(signs []Sign) Care {
	if !slices.ContainsFunc(signs, Sign.emergency) {
		return Care{Title: "Stop in shade and watch them", Do: []string{
			"Whole group in shade. One of staff stays with them and talks with them.",
			"Loosen clothes, cool skin with water. Who drank a lot and feels sick needs salty food, not more water.",
			"Better within 10 minutes and after a short test walk: back the shortest way, with two others.",
			"Not better, worse, drowsy, confused or strange: this is an emergency. Record it here at once.",
		}}
	}
	return Care{Emergency: true, Title: "Emergency: call now", Do: emergencySteps(signs)}
}

func emergencySteps(signs []Sign) []string {
	steps := []string{
		"Two callers: one calls the emergency number, one walks or drives to where there is signal, " +
			"with this page's place and time.",
		"Somebody stays with them all the time. The others stay in shade, counted.",
	}
	if slices.Contains(signs, SignConfused) || slices.Contains(signs, SignCollapsed) {
		// Cool first, transport second (exertional heat stroke guidelines).
		cool := "Cool now, before anything else: shade, clothes off, all the water that can be spared on the skin, " +
			"fan without stopping. Sweating does not rule heat stroke out."
		steps = slices.Insert(steps, 0, cool)
		steps = append(steps, "No medicine against fever. Nothing to drink while they are confused.")
	}
	if slices.Contains(signs, SignBitten) {
		steps = append(steps, "Keep still, limb level, rings off, mark the edge of the swelling with the time. "+
			"No cutting, sucking, ice or tourniquet.")
	}
	if slices.Contains(signs, SignBreathing) {
		steps = append(steps, "Their own auto-injector at once, if they have one. Sit them up.")
	}
	return steps
}

// SignWords lists the signs in a sentence.
func (u Unwell) SignWords() string {
	words := make([]string, len(u.Signs))
	for i, s := range u.Signs {
		words[i] = string(s)
	}
	return list(words)
}

// Unwell is one record of signs.
type Unwell struct {
	Persons []PersonID
	Signs   []Sign
	Seen    Sighting
	By      string
	Note    string
	Care    Care
}

func (r *reducer) unwell(e Event) {
	people := r.people(e, e.Persons)
	u := Unwell{
		Persons: idsOf(people), Signs: e.Signs, Seen: sightingOf(e), By: e.By, Note: e.Note, Care: CareFor(e.Signs),
	}
	r.state.Unwell = append(r.state.Unwell, u)
	if u.Care.Emergency {
		r.flag(newFlag(FlagEmergency, e, namesOf(people)+": cool now, two callers", u.Persons...))
		r.troubleAt(e.At)
	}
}

// CareDue is a record of signs about people who are not accounted for yet.
type CareDue struct {
	Unwell
	Open []PersonID
}

// CareDue returns the records of signs that still call for care, the latest first.
func (s State) CareDue() []CareDue {
	var due []CareDue
	for _, u := range slices.Backward(s.Unwell) {
		open := slices.DeleteFunc(slices.Clone(u.Persons), func(id PersonID) bool {
			p, _ := s.Person(id)
			return p.Where.Accounted()
		})
		if len(open) > 0 {
			due = append(due, CareDue{Unwell: u, Open: open})
		}
	}
	return due
}

// Emergencies returns those of CareDue that are an emergency.
func (s State) Emergencies() []CareDue {
	return slices.DeleteFunc(s.CareDue(), func(c CareDue) bool { return !c.Care.Emergency })
}

// LastKnown is where and when somebody was last seen for certain: by a count, or by whoever recorded
// that they are unwell.
func (s State) LastKnown(p Person) Sighting {
	last := p.Last
	for _, u := range s.Unwell {
		if slices.Contains(u.Persons, p.ID) && u.Seen.Place != "" && u.Seen.At.After(last.At) {
			last = u.Seen
		}
	}
	return last
}
