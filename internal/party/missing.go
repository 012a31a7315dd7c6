package party

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// missing opens a search, or adds to the one that is open. Names that were not missing before
// are further losses: somebody unnamed who is known later is recorded as named.
func (r *reducer) missing(e Event) {
	people := r.people(e, e.Persons)
	open := r.openSearch()
	if open == nil {
		r.state.Searches = append(r.state.Searches, Search{Began: e.At, By: e.By})
		open = &r.state.Searches[len(r.state.Searches)-1]
	}
	before := len(open.Persons)
	open.add(e)
	if fresh := len(open.Persons) - before; e.Number > 0 {
		open.Number = max(open.Number, e.Number, len(open.Persons))
	} else {
		open.Number += fresh
	}
	r.lose(open, people)
	words := namesOf(people)
	if words == "" {
		words = PeopleWords(max(1, e.Number)) + " not known by name"
	}
	r.flag(newFlag(FlagMissing, e, words+": reported missing by "+e.By+", last seen at "+
		PlaceWords(e.Place), idsOf(people)...))
}

// lose takes people out of the numbers until they are found.
func (r *reducer) lose(s *Search, people []*Person) {
	for _, p := range people {
		p.marks.missing = true
		s.Found = slices.DeleteFunc(s.Found, func(f Finding) bool { return f.Person == p.ID })
		r.addKnownFactors(s, p)
	}
	if r.terms.Hot {
		s.addFactor(FactorHeat)
	}
	if dusk := r.terms.Dusk; !dusk.IsZero() && s.Began.After(dusk.Add(-time.Hour)) {
		s.addFactor(FactorDusk)
	}
}

// named gives names to people who were missing without one.
func (r *reducer) named(e Event) {
	open := r.openSearch()
	if open == nil || open.unnamed() == 0 {
		r.missing(e)
		return
	}
	people := r.people(e, e.Persons)
	open.add(e)
	open.Number = max(open.Number, len(open.Persons))
	r.lose(open, people)
}

// add adds what an event says about the missing people. The first answers stand.
func (s *Search) add(e Event) {
	s.Persons = union(s.Persons, e.Persons)
	s.Events = append(s.Events, e.ID)
	if s.SeenAt.IsZero() {
		s.SeenAt = e.SeenAt
	}
	s.SeenBy, s.SeenPlace = cmp.Or(s.SeenBy, e.SeenBy), cmp.Or(s.SeenPlace, e.Place)
	s.Said = strings.TrimSpace(s.Said + " " + e.Note)
	for _, x := range e.Factors {
		s.addFactor(x)
	}
}

func (s *Search) addFactor(x Factor) {
	if !slices.Contains(s.Factors, x) {
		s.Factors = append(s.Factors, x)
	}
}

// addKnownFactors adds the factors that follow from what the roll knows about a person.
func (r *reducer) addKnownFactors(s *Search, p *Person) {
	if p.Minor {
		s.addFactor(FactorChild)
	}
	if p.ActionLine {
		s.addFactor(FactorIll)
	}
	for _, u := range r.state.Unwell {
		if slices.Contains(u.Persons, p.ID) {
			s.addFactor(FactorDistress)
		}
	}
	if r.terms.Planned && p.Water.Known && p.Water.Litres < r.terms.wayOf(r.state.Departure.Route).Need {
		s.addFactor(FactorLittle)
	}
}

// openSearch returns the last search if somebody in it is still missing, else nil.
func (r *reducer) openSearch() *Search {
	n := len(r.state.Searches)
	if n == 0 {
		return nil
	}
	s := &r.state.Searches[n-1]
	if s.Ended = r.endOf(*s); !s.Ended.IsZero() {
		return nil
	}
	return s
}

// lostUnnamed is how many people of the open search nobody knows by name.
func (r *reducer) lostUnnamed() int {
	if s := r.openSearch(); s != nil {
		return s.unnamed()
	}
	return 0
}

// search adds an event to the latest search.
func (r *reducer) search(e Event) {
	people := r.people(e, e.Persons) // first, so that everybody named is on the roll
	n := len(r.state.Searches)
	if n == 0 {
		words := e.By + " recorded " + kindWords(e.Kind) + ", but nobody is recorded missing"
		r.flag(newFlag(FlagContradiction, e, words, e.Persons...))
		return
	}
	s := &r.state.Searches[n-1]
	switch e.Kind {
	case KindStep:
		s.step(e)
	case KindTold:
		r.told(s, e)
	case KindFound:
		r.found(s, e, people)
	}
}

// found ends the search for people. A name that nobody missed takes the place of one of the
// unnamed, if there are any.
func (r *reducer) found(s *Search, e Event, people []*Person) {
	for _, p := range people {
		p.Last = sightingOf(e)
		if !slices.Contains(s.Persons, p.ID) && s.unnamed() > 0 {
			s.Persons = append(s.Persons, p.ID)
		}
		s.find(p, e)
	}
	if len(people) == 0 {
		s.FoundUnnamed += min(e.Number, s.unnamed())
		s.UnnamedFoundAt = e.At
	}
}

// find notes that a missing person was seen, with what record.
func (s *Search) find(p *Person, e Event) {
	p.marks.missing = false
	if slices.Contains(s.Persons, p.ID) && !s.isFound(p.ID) {
		s.Found = append(s.Found, Finding{Person: p.ID, At: e.At, Place: e.Place, By: e.By, Note: e.Note})
	}
}

// sawByName handles a record that names missing people as there. Back at the trailhead, at the car,
// with responders or with the group again, they are found. A count, a tick or a departure of a pair
// may have been recorded by somebody who did not know: the search stays open, and the two records
// stand side by side until one is taken back or the person is recorded found.
func (r *reducer) sawByName(e Event, people []*Person) {
	n := len(r.state.Searches)
	for _, p := range people {
		switch {
		case !p.marks.missing || n == 0:
		case e.Kind == KindBack || e.Kind == KindAtCar || e.Kind == KindHandedOver || e.Kind == KindJoined:
			r.state.Searches[n-1].find(p, e)
		default:
			words := p.Name + ": missing, by one record, and named as there by another. Ask, then record them found " +
				"or take one record back"
			r.flag(newFlag(FlagSeenMissing, e, words, p.ID).about(r.state.Searches[n-1].recordOf(p.ID, r.byID)))
		}
	}
}

// recordOf is the record that says that a person is missing.
func (s *Search) recordOf(id PersonID, byID map[EventID]Event) EventID {
	for _, e := range s.Events {
		if slices.Contains(byID[e].Persons, id) {
			return e
		}
	}
	return ""
}

// step records a step once: of two events the earlier stands.
func (s *Search) step(e Event) {
	switch {
	case e.Trouble && e.Step == BackCheck && s.Failed.IsZero():
		s.Failed = e.At
	case e.Trouble && e.Step != BackCheck && s.Risen.IsZero():
		s.Risen = e.At
	}
	if _, done := s.Done(e.Step); !done {
		s.Steps = append(s.Steps, Tick{Step: e.Step, At: e.At, By: e.By, Note: e.Note})
	}
}

func (r *reducer) told(s *Search, e Event) {
	if next := s.NextToNotify(); next != e.To && next != "" {
		r.flag(newFlag(FlagOutOfTurn, e, e.By+" told "+e.To+" before "+next))
	}
	s.Told = append(s.Told, Tick{Who: e.To, At: e.At, By: e.By, Note: e.Note})
}

// endOf is when the last person of the search was found or otherwise accounted for, zero
// while somebody is not. Once everybody on the roll is accounted for, nobody is missing.
func (r *reducer) endOf(s Search) time.Time {
	end := s.UnnamedFoundAt
	if s.unnamed() > 0 {
		if !r.everybodyAccounted() {
			return time.Time{}
		}
		for i := range r.state.People {
			end = later(end, r.state.People[i].Since)
		}
	}
	for _, id := range s.Persons {
		i := slices.IndexFunc(s.Found, func(x Finding) bool { return x.Person == id })
		p := r.state.People[r.index[id]]
		switch {
		case i >= 0:
			end = later(end, s.Found[i].At)
		case p.Where.Accounted():
			end = later(end, p.Since)
		default:
			return time.Time{}
		}
	}
	return later(end, s.Began)
}

func (r *reducer) everybodyAccounted() bool {
	return !slices.ContainsFunc(r.state.People, func(p Person) bool { return !p.Where.Accounted() }) &&
		r.number <= len(r.state.People)
}

// endSearches ends the searches whose people are all found. An open search has clocks of its own;
// once everybody is found only the plan's apply.
func (r *reducer) endSearches() {
	for i := range r.state.Searches {
		s := &r.state.Searches[i]
		if s.Ended = r.endOf(*s); !s.Ended.IsZero() {
			r.settleMissing(*s)
			continue
		}
		for _, id := range s.Persons {
			p := &r.state.People[r.index[id]]
			p.Missing = !s.isFound(id) && !p.Where.Accounted()
		}
	}
}

func (r *reducer) settleMissing(s Search) {
	for i := range r.state.Flags {
		f := &r.state.Flags[i]
		seen := f.Kind == FlagSeenMissing && slices.ContainsFunc(f.Persons, s.isFound)
		if seen || f.Kind == FlagMissing && slices.Contains(s.Events, f.Events[0]) {
			f.Settled = true
		}
	}
}

// troubleAt notes a call for help; the earliest stands.
func (r *reducer) troubleAt(at time.Time) {
	if r.state.TroubleAt.IsZero() || at.Before(r.state.TroubleAt) {
		r.state.TroubleAt = at
	}
}

// LastSearch returns the latest search, and whether it still needs the page: somebody is missing, or
// somebody has not been told that they are found.
func (s State) LastSearch() (last Search, shown bool) {
	n := len(s.Searches)
	if n == 0 {
		return last, false
	}
	last = s.Searches[n-1]
	return last, last.Ended.IsZero() || last.NextToNotify() != ""
}

// MissedNames lists who was missed in a search, and how many more without a name.
func (s State) MissedNames(x Search) []string {
	names := s.Names(x.Persons)
	if more := x.Number - len(x.Persons); more > 0 {
		names = append(names, PeopleWords(more)+" not known by name")
	}
	return names
}
