package phone

import "saltbush/internal/party"

// search is nil if no search needs the page.
func (l look) search() *Search {
	s, shown := l.state.LastSearch()
	if !shown {
		return nil
	}
	open, unnamed := s.Open()
	x := &Search{
		Began: s.Began.UTC(), By: s.By, Ended: s.Ended.UTC(), Number: s.Number, Who: filled(l.state.MissedNames(s)),
		Persons: filled(s.Persons), Open: filled(open), Unnamed: unnamed, Factors: s.Factors, SeenBy: s.SeenBy,
		Said: s.Said, Steps: ticksOf(s.Steps), Failed: s.Failed.UTC(), Risen: s.Risen.UTC(),
		CallAt: s.CallAt().UTC(), RiseAt: s.RiseAt().UTC(), CallNow: reached(s.CallAt(), l.given.Now),
		Told: ticksOf(s.Told), Next: s.NextToNotify(),
	}
	if s.SeenPlace != "" || !s.SeenAt.IsZero() {
		x.Seen = &Sighting{At: s.SeenAt.UTC(), Place: s.SeenPlace}
	}
	for _, f := range s.Found {
		p, _ := l.state.Person(f.Person)
		x.Found = append(x.Found, Finding{Name: p.Name, At: f.At.UTC(), Place: f.Place, Note: f.Note})
	}
	return x
}

func ticksOf(ticks []party.Tick) []Tick {
	list := []Tick{}
	for _, t := range ticks {
		list = append(list, Tick{Step: t.Step, Who: t.Who, At: t.At.UTC(), By: t.By})
	}
	return list
}
