package roll

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// MissingPersons returns everyone not accounted for, in the order of the roll.
func (s State) MissingPersons() []Person {
	return slices.DeleteFunc(slices.Clone(s.People), func(p Person) bool { return p.Where.Accounted() })
}

// Missing returns the names not accounted for, and one line for people who left the
// trailhead without being named.
func (s State) Missing() []string {
	var names []string
	for _, p := range s.MissingPersons() {
		names = append(names, p.Name)
	}
	if s.Unnamed > 0 {
		names = append(names, unnamed(s.Unnamed))
	}
	return names
}

// OnTrail returns everyone who set out and is not known to be off the trail.
func (s State) OnTrail() []Person {
	return slices.DeleteFunc(slices.Clone(s.People), func(p Person) bool { return !p.Where.onTrail() })
}

// CanStandDown returns an error that names whoever keeps the watch open.
func (s State) CanStandDown() error {
	if s.AllAccounted {
		return nil
	}
	var names []string
	for _, p := range s.MissingPersons() {
		names = append(names, fmt.Sprintf("%s (%s)", p.Name, missingWord(p.Where)))
	}
	if s.Unnamed > 0 {
		names = append(names, unnamed(s.Unnamed))
	}
	return fmt.Errorf("not accounted for: %s", strings.Join(names, ", "))
}

// CanClose returns an error that says by name all that keeps the hike open: people, pairs
// that left early, cars, and that on-call has not stood down although people went out.
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
	if s.AllAccounted && !s.Departed.IsZero() && s.StoodDown.IsZero() {
		open = append(open, "on-call has not stood down")
	}
	if len(open) == 0 {
		return nil
	}
	return errors.New("the hike stays open: " + strings.Join(open, "; "))
}

func missingWord(w Whereabouts) string {
	switch w {
	case WhereExpected:
		return "never marked here or absent"
	case WhereHere:
		return "here at the start, then neither out nor turned away"
	}
	return string(w)
}

func unnamed(n int) string { return plural(n, "person", "people") + " who left without a name" }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
