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
	words := ""
	switch names := s.Names(g.Candidates); {
	case len(names) == 0:
	case len(names) <= g.Short:
		words = "Not there: " + list(names) + ". "
	default:
		words = fmt.Sprintf("%d of these: %s. ", g.Short, list(names))
	}
	way := "Look first along the way of " + PartyWords(g.Party)
	if g.Since.At.IsZero() {
		return words + way + "; no count before this one agreed."
	}
	return words + way + " since " + PlaceWords(g.Since.Place) + "."
}
