package walk

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// Surface is what a leg is like underfoot. The empty surface is Firm.
type Surface string

// The surfaces that change a walking time.
const (
	Firm      Surface = "firm"
	Rocky     Surface = "rocky"
	LooseSand Surface = "loose sand"
	Wash      Surface = "wash"
	Steps     Surface = "steps"
)

// ParseSurface reads a surface as it is written. Nothing at all is firm.
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

// speedShare returns what is left of the speed on a firm trail.
func (s Surface) speedShare() (float64, error) {
	switch s {
	case Firm, "":
		// Campbell 2022 recorded people on trails, so a trail is the curve as it stands.
		return 1, nil
	case Rocky:
		// Aitken 1977: 4 km/h off path in place of Naismith's 5.
		return 4.0 / 5.0, nil
	case Wash:
		// Irmischer and Clarke 2018: off-road over on-road speed on the level, 0.779/1.096.
		// House judgement that gravel wash is such ground.
		return 0.779 / 1.096, nil
	case LooseSand:
		// Tobler 1993: off path 0.6 of the speed. House judgement that loose sand, the
		// dearest ground in Givoni and Goldman 1971, takes the lowest published share.
		return 0.6, nil
	case Steps:
		// House judgement: people queue at a high step, and the curve saw few of them. As
		// slow as Rocky, the nearest published figure.
		return 4.0 / 5.0, nil
	default:
		return 0, fmt.Errorf("surface %q is not one of firm, rocky, loose sand, wash, steps", string(s))
	}
}

// Pace is how a hike is announced: the pace of the slowest person it is meant for.
type Pace string

// The three paces.
const (
	Gentle   Pace = "gentle"
	Ordinary Pace = "ordinary"
	Brisk    Pace = "brisk"
)

// ParsePace reads a pace as it is written. Nothing at all is ordinary.
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

// timeFactor returns how much longer the pace takes than the median hiker.
func (p Pace) timeFactor() (float64, error) {
	switch p {
	case Ordinary, "":
		// Campbell 2022 on the level is 4.13 km/h, 14.5 min/km; the trade's rule for ordinary
		// groups is 15 min/km. The two agree, so no factor.
		return 1, nil
	case Gentle:
		// House judgement: 3.3 km/h on the level. The mirror of the trade's ratio for the
		// fit (15 over 12 min/km), for want of a published curve of slow walkers alone.
		return 15.0 / 12.0, nil
	case Brisk:
		// House judgement: the trade's rule for the fit is 12 against 15 min/km, 0.80; kept
		// back to 0.85 because a stranger's word for their own pace is often too good.
		return 0.85, nil
	default:
		return 0, fmt.Errorf("pace %q is not one of gentle, ordinary, brisk", string(p))
	}
}

// Party is who walks. Its pace is that of the hike as announced; the group factor then
// allows for the slowest of the people who come.
type Party struct {
	Participants int
	Staff        int
	Pace         Pace
	Pack         unit.Fraction // mass of a pack as a share of the body's; zero: a day pack
}

// People returns everyone who walks.
func (p Party) People() int { return p.Participants + p.Staff }

// Alone reports whether exactly one person walks. One person waits for nobody.
func (p Party) Alone() bool { return p.People() == 1 }

// largestParty is a House judgement: far above any land manager's limit (12 to 25), low
// enough to catch a slip of the keyboard.
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

// paceSpread is the log standard deviation between people who chose the same pace. House
// judgement: 0.08 makes the slowest of eight 12 % slower than their middle; a wider
// spread would be another pace word.
const paceSpread = 0.08

// Trade practice, section on group pace, a house default there: parties above twelve take
// a tenth longer, for the length of the line.
const (
	longLine       = 12
	longLineFactor = 1.10
)

// groupFactor returns how much longer the party takes than one person of its pace. The
// line moves as its slowest member does, and the more come, the slower that one is.
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

// The pack of a day hike: a tenth of the body's mass, which the people of the recordings
// carried too (House judgement). heaviestPack is one as well: nobody leads a public day
// hike under half their own mass.
const (
	dayPack      unit.Fraction = 0.10
	heaviestPack unit.Fraction = 0.50
)

// packFactor returns how much longer a walk takes under more than a day pack. House
// judgement: people hold their effort, not their speed. The cost of walking is so much a
// kilogram of all that is moved (Looney et al. 2019), and near a walking pace it goes with
// the speed, so the time goes with the mass.
func (p Party) packFactor() float64 {
	return float64((1 + max(dayPack, p.Pack)) / (1 + dayPack))
}

// slowestOf returns how many standard deviations the last of n people lies behind the
// middle: Blom 1958, Statistical Estimates and Transformed Beta-Variables, for the largest
// of n normal values. Within 0.03 of the exact mean for n from 1 up.
func slowestOf(n int) float64 {
	return normalQuantile((float64(n) - 0.375) / (float64(n) + 0.25))
}

// GroupFactor returns how much longer the party takes than one person of its pace, for
// showing beside an estimate: 112 % takes 12 % longer than one person alone.
func (p Party) GroupFactor() unit.Percent { return unit.Percent(100 * p.groupFactor()) }

// Surfaces lists every surface, the easiest first.
func Surfaces() []Surface { return []Surface{Firm, Rocky, Steps, Wash, LooseSand} }
