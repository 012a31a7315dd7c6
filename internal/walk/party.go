package walk

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Surface is the ground of a leg. The empty surface is Firm.
type Surface string

// The surfaces, by how they change walking times.
const (
	Firm      Surface = "firm"
	Rocky     Surface = "rocky"
	LooseSand Surface = "loose sand"
	Wash      Surface = "wash"
	Steps     Surface = "steps"
)

// ParseSurface reads a surface by its name. "" is firm.
func ParseSurface(text string) (Surface, error) {
	s := Surface(text)
	if s == "" {
		return Firm, nil
	}
	if _, err := s.speedShare(); err != nil {
		return "", err
	}
	return s, nil
}

// speedShare returns the speed as a share of that on a firm trail.
func (s Surface) speedShare() (float64, error) {
	switch s {
	case Firm, "":
		// Campbell 2022 recorded people on trails, so the curve applies unchanged.
		return 1, nil
	case Rocky:
		// Aitken 1977: 4 km/h off path in place of Naismith's 5.
		return 4.0 / 5.0, nil
	case Wash:
		// Irmischer and Clarke 2018: off-road over on-road speed on the level, 0.779/1.096. Our judgment: gravel wash
		// is such ground.
		return 0.779 / 1.096, nil
	case LooseSand:
		// Tobler 1993: off path 0.6 of the speed. Our judgment: loose sand, the most costly ground in Givoni and
		// Goldman 1971, gets the lowest published share.
		return 0.6, nil
	case Steps:
		// Our judgment: people queue at high steps, and the recordings have few of them. As slow as Rocky, the
		// nearest published figure.
		return 4.0 / 5.0, nil
	default:
		return 0, fmt.Errorf("surface %q is not one of firm, rocky, loose sand, wash, steps", string(s))
	}
}

// Pace is the announced pace of a hike: that of the slowest person it is meant for.
type Pace string

// The three paces.
const (
	Gentle   Pace = "gentle"
	Ordinary Pace = "ordinary"
	Brisk    Pace = "brisk"
)

// ParsePace reads a pace by its name. "" is ordinary.
func ParsePace(text string) (Pace, error) {
	p := Pace(text)
	if p == "" {
		return Ordinary, nil
	}
	if _, err := p.timeFactor(); err != nil {
		return "", err
	}
	return p, nil
}

// timeFactor returns the time at this pace relative to the median hiker's.
func (p Pace) timeFactor() (float64, error) {
	switch p {
	case Ordinary, "":
		// Campbell 2022 on the level is 4.13 km/h, 14.5 min/km; the trade's rule for ordinary groups is 15 min/km.
		// They agree, so the factor is 1.
		return 1, nil
	case Gentle:
		// Our judgment: 3.3 km/h on the level. The inverse of the trade's ratio for fit people (15 over 12 min/km),
		// since there is no published curve of slow walkers alone.
		return 15.0 / 12.0, nil
	case Brisk:
		// Our judgment: the trade's rule for fit people is 12 against 15 min/km, 0.80. We use 0.85 because strangers
		// often overstate their pace.
		return 0.85, nil
	default:
		return 0, fmt.Errorf("pace %q is not one of gentle, ordinary, brisk", string(p))
	}
}

// Party is the group that walks. Its pace is the announced one; the group factor then allows for the slowest of the
// people who come.
type Party struct {
	Participants int
	Staff        int
	Pace         Pace
	Pack         unit.Fraction // mass of a pack as a share of the body's; zero: a day pack
}

// People returns the number of people who walk.
func (p Party) People() int { return p.Participants + p.Staff }

// Alone reports whether exactly one person walks, who waits for nobody.
func (p Party) Alone() bool { return p.People() == 1 }

// largestParty is our judgment: far above any land manager's limit (12 to 25), low enough to catch a typo.
const largestParty = 200

func (p Party) check() error {
	switch {
	case p.Participants < 0:
		return fmt.Errorf("participants %d is below zero", p.Participants)
	case p.Staff < 0:
		return fmt.Errorf("staff %d is below zero", p.Staff)
	case p.Participants > largestParty || p.Staff > largestParty || p.People() > largestParty:
		return fmt.Errorf("party of %d participants and %d staff is above %d", p.Participants, p.Staff, largestParty)
	case p.People() == 0:
		return fmt.Errorf("party of nobody has no walking time")
	case !(p.Pack >= 0 && p.Pack <= heaviestPack):
		return fmt.Errorf("pack of %g of the body's mass is not between 0 and %g",
			float64(p.Pack), float64(heaviestPack))
	}
	_, err := p.Pace.timeFactor()
	return err
}

// paceSpread is the log standard deviation between people who chose the same pace. Our judgment: 0.08 makes the
// slowest of eight 12 % slower than their median; a wider spread would be another pace.
const paceSpread = 0.08

// Trade practice, section on group pace: parties above twelve take a tenth longer because of the length of the line.
const (
	longLine       = 12
	longLineFactor = 1.10
)

// groupFactor returns the party's time relative to one person of its pace. The group is as slow as its slowest
// member, and the larger it is, the slower that member is.
func (p Party) groupFactor() float64 {
	if p.Alone() {
		return 1
	}
	factor := math.Exp(paceSpread * slowestOf(p.People()))
	if p.People() > longLine {
		factor *= longLineFactor
	}
	return factor
}

// Our judgment: the pack of a day hike is a tenth of the body mass, and the people in the recordings carried as much.
// Nobody leads a public day hike with a pack of half their own mass.
const (
	dayPack      unit.Fraction = 0.10
	heaviestPack unit.Fraction = 0.50
)

// packFactor returns the time relative to that with a day pack. Our judgment: people keep their effort constant, not
// their speed. The cost of walking is proportional to the mass moved (Looney et al. 2019) and, near walking pace, to
// the speed, so the time is proportional to the mass.
func (p Party) packFactor() float64 {
	return float64((1 + max(dayPack, p.Pack)) / (1 + dayPack))
}

// slowestOf returns how many standard deviations the slowest of n people is behind the median: Blom 1958, Statistical
// Estimates and Transformed Beta-Variables, for the largest of n normal values. It is within 0.03 of the exact mean
// for all n.
func slowestOf(n int) float64 {
	return normalQuantile((float64(n) - 0.375) / (float64(n) + 0.25))
}

// GroupFactor returns the party's time relative to one person of its pace, to show beside an estimate: 112 % is 12 %
// longer than one person alone.
func (p Party) GroupFactor() unit.Percent { return unit.Percent(100 * p.groupFactor()) }

// Surfaces lists all surfaces, easiest first.
func Surfaces() []Surface { return []Surface{Firm, Rocky, Steps, Wash, LooseSand} }
