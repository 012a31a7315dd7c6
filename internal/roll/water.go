package roll

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// water keeps what was seen of a person's water or of the stock in the leader's car. One
// recorder corrects their own figure; where two differ the lower stands, for a start with
// too little does more harm than a question.
func (f *reducer) water(e Event) {
	if e.Kind == KindStock {
		f.state.Stock = f.brought(f.state.Stock, e, "the leader's car")
		return
	}
	for _, p := range f.people(e, e.Persons) {
		p.Brought = f.brought(p.Brought, e, p.Name)
	}
}

func (f *reducer) brought(before WaterCheck, e Event, whose string) WaterCheck {
	now := WaterCheck{Litres: e.Litres, Gives: e.Gives, Known: true, By: e.By, Event: e.ID}
	if !before.Known || before.By == e.By || before.Litres == e.Litres {
		return now
	}
	f.flag(newFlag(FlagWater, e, fmt.Sprintf("water of %s: %s wrote %s, %s wrote %s: the lower stands until one is undone",
		whose, before.By, litres(before.Litres), e.By, litres(e.Litres)), e.Persons...).about(before.Event))
	if before.Litres < e.Litres {
		return before
	}
	return now
}

// litres says water as the roll writes it down, in the unit of the record.
func litres(v unit.Volume) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v.Litres()), ".0") + " L"
}

// Way is one of the routes that may be chosen at the trailhead.
type Way struct {
	// Name is what people call it: where it turns, empty for the whole route.
	Name string
	// Need is the water of one person for the time that nine walks in ten stay within.
	Need unit.Volume
}

// WaterAt says who may start with the water that is at the trailhead.
type WaterAt struct {
	// Unknown are those who are here and whose water nobody has seen.
	Unknown []string
	// Full and Short list who can go on each route, with what they are handed from the
	// stock; Neither who can go on none. Short shares what Full leaves of the stock.
	Full, Short []supply.Portion
	Neither     []string
	// Tied lack the same, while there is enough for some of them only: the leader chooses.
	Tied []string
	// OnShort is the sharing if everyone takes the short route.
	OnShort supply.Sharing
	// OnFull is the sharing if everyone takes the full one.
	OnFull supply.Sharing
}

// Waters shares the stock in the leader's car out among those who are here: first for the
// full route, and what is left among the others for the short one, where there is one. The
// group reserve that staff carry is never in it.
func Waters(s State, full Way, short *Way) (WaterAt, error) {
	var w WaterAt
	var known []Person
	for _, p := range s.People {
		switch {
		case p.Where != WhereHere:
		case p.Brought.Known:
			known = append(known, p)
		default:
			w.Unknown = append(w.Unknown, p.Name)
		}
	}
	all, err := share(known, full, s.Stock.Litres)
	if err != nil {
		return w, err
	}
	called := namesOf(known)
	w.OnFull = called(all)
	w.Full, w.Tied, w.Neither = w.OnFull.Go, w.OnFull.Tied, w.OnFull.Stay
	if short == nil {
		return w, nil
	}
	brief, err := share(known, *short, s.Stock.Litres)
	if err != nil {
		return w, err
	}
	stay := slices.DeleteFunc(slices.Clone(known), func(p Person) bool { return !slices.Contains(all.Stay, string(p.ID)) })
	rest, err := share(stay, *short, all.Spare)
	w.OnShort, rest = called(brief), called(rest)
	w.Short, w.Neither = rest.Go, rest.Stay
	w.Tied = append(w.Tied, rest.Tied...)
	return w, err
}

// namesOf turns a sharing among ids into one among names: two people may have one name.
func namesOf(people []Person) func(supply.Sharing) supply.Sharing {
	by := make(map[string]string, len(people))
	for _, p := range people {
		by[string(p.ID)] = p.Name
	}
	named := func(ids []string) []string {
		var list []string
		for _, id := range ids {
			list = append(list, by[id])
		}
		return list
	}
	return func(s supply.Sharing) supply.Sharing {
		out := supply.Sharing{Stay: named(s.Stay), Tied: named(s.Tied), Spare: s.Spare}
		for _, p := range s.Go {
			out.Go = append(out.Go, supply.Portion{Name: by[p.Name], Takes: p.Takes})
		}
		return out
	}
}

// share asks supply for one route. A gift is at most what is held above the need of that
// route.
func share(people []Person, way Way, stock unit.Volume) (supply.Sharing, error) {
	walkers := make([]supply.Walker, len(people))
	for i, p := range people {
		b := p.Brought
		walkers[i] = supply.Walker{Name: string(p.ID), Need: way.Need, Holds: b.Litres, Gives: min(b.Gives, max(0, b.Litres-way.Need))}
	}
	return supply.Share(walkers, stock)
}
