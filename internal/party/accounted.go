package party

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Unmarked lists the names that are neither here, absent nor turned away.
func (s State) Unmarked() []string {
	var names []string
	for _, p := range s.People {
		if p.Where == WhereExpected {
			names = append(names, p.Name)
		}
	}
	return names
}

// OnTrail returns everyone who set out and is not known to be off the trail.
func (s State) OnTrail() []Person {
	return slices.DeleteFunc(slices.Clone(s.People), func(p Person) bool { return !p.Where.onTrail() })
}

// MissingPersons returns everyone not accounted for, in the order of the roll.
func (s State) MissingPersons() []Person {
	return slices.DeleteFunc(slices.Clone(s.People), func(p Person) bool { return p.Where.Accounted() })
}

// Missing returns the names not accounted for, and one line for people who left the
// trailhead without being named.
func (s State) Missing() []string {
	return s.missing(func(p Person) string { return p.Name })
}

func (s State) missing(words func(Person) string) []string {
	var list []string
	for _, p := range s.MissingPersons() {
		list = append(list, words(p))
	}
	if s.Unnamed > 0 {
		list = append(list, PeopleWords(s.Unnamed)+" who left without a name")
	}
	return list
}

// CanStandDown returns an error that names everyone who keeps the watch open.
func (s State) CanStandDown() error {
	if s.AllAccounted {
		return nil
	}
	names := s.missing(func(p Person) string { return p.Name + " (" + missingWords(p.Where) + ")" })
	return fmt.Errorf("not accounted for: %s", strings.Join(names, ", "))
}

// CanClose returns an error that lists everything that keeps the hike open: people not
// accounted for, cars, and a watch that on-call has not ended.
func (s State) CanClose() error {
	var open []string
	if err := s.CanStandDown(); err != nil {
		open = append(open, err.Error())
	}
	var cars []string
	for _, c := range s.OpenCars() {
		cars = append(cars, fmt.Sprintf("%s (%s)", c.Plate, strings.Join(c.Owners, ", ")))
	}
	if len(cars) > 0 {
		open = append(open, "cars not known to be gone: "+strings.Join(cars, ", "))
	}
	if names := s.WithoutPlate(); len(names) > 0 {
		open = append(open, "no license plate known for the car of: "+strings.Join(names, ", "))
	}
	if s.AllAccounted && !s.Departed.IsZero() && s.StoodDown.IsZero() {
		open = append(open, "on-call has not stood down")
	}
	if len(open) == 0 {
		return nil
	}
	return errors.New("the hike stays open: " + strings.Join(open, "; "))
}

func missingWords(w Whereabouts) string {
	switch w {
	case WhereExpected:
		return "never marked here or absent"
	case WhereHere:
		return "here at the start, then neither out nor turned away"
	}
	return string(w)
}

// Incidents lists, in words, what happened on the hike that a claim or an inquiry may be
// about. It is empty for an ordinary day.
func (s State) Incidents() []string {
	var words []string
	add := func(happened bool, what string) {
		if happened {
			words = append(words, what)
		}
	}
	handedOver := slices.ContainsFunc(s.People, func(p Person) bool { return p.Where == WhereHandedOver })
	add(!s.TroubleAt.IsZero(), "help was asked for")
	add(len(s.Unwell) > 0, "somebody was unwell")
	add(len(s.Searches) > 0, "somebody was missing")
	add(s.HandedOver > 0 || handedOver, "somebody was handed over")
	return words
}

// Numbers summarize a roll without naming anybody, for the land manager.
type Numbers struct {
	// Walkers and Staff are those planned. Cars are those they said they would come in, or
	// that were seen in the lot as theirs.
	Walkers, Staff, Cars int
	// Departed is zero until the party has left. Out is how many set out, including those
	// who joined later; LeftEarly is how many of them left before the end.
	Departed       time.Time
	Out, LeftEarly int
	// Back is when the last of them was recorded back, zero while anybody is unaccounted for.
	Back time.Time
}

// Numbers counts the people and cars of a roll. The roster gives those who were planned.
func (s State) Numbers(roster Roster) Numbers {
	var n Numbers
	for _, e := range roster {
		if e.Staff {
			n.Staff++
		} else {
			n.Walkers++
		}
	}
	for _, c := range s.Cars {
		n.Cars += oneIf(c.Ours())
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
			n.Back = later(n.Back, p.Since)
		}
	}
	return n
}
