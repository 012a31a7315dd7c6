package party

import "fmt"

// GapOf returns what is known of the people whom a low count lacks, if the flag is about one.
func (s State) GapOf(f Flag) (Gap, bool) {
	for _, g := range s.Gaps {
		if f.Kind == FlagCountLow && g.Party == f.Party {
			return g, true
		}
	}
	return Gap{}, false
}

// GapWords says whom a low count lacks and where to look first, without times.
func (s State) GapWords(g Gap) string {
	const missingFrom = "Missing from this count: "
	words := ""
	switch names := s.Names(g.Candidates); {
	case len(names) == 0:
	case len(names) <= g.Short:
		words = missingFrom + list(names) + ". "
	default:
		words = fmt.Sprintf("%s%d of %s. ", missingFrom, g.Short, listAnd(names))
	}
	way := "Look first along " + PartyWords(g.Party) + "'s route"
	if g.Since.At.IsZero() {
		return words + way + "; no earlier count was right."
	}
	return words + way + " since " + PlaceWords(g.Since.Place) + "."
}
