package party

import (
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/unit"
)

// WaterAt says who can start with the water at the trailhead.
type WaterAt struct {
	// Unknown are the people who are here and whose water nobody has looked at.
	Unknown []string
	// Full and Short list who can go on each route, with the water handed to them from the
	// stock. Neither lists who can go on none. Short shares what Full leaves of the stock.
	Full, Short []Portion
	Neither     []string
	// Tied lack the same amount, and there is enough for only some of them: the leader
	// chooses.
	Tied []string
	// OnShort is the sharing if everyone takes the short route.
	OnShort Sharing
	// OnFull is the sharing if everyone takes the full route.
	OnFull Sharing
}

// Waters shares the stock in the leader's car among those who are here: first for the full
// route, then the rest among the others for the short one, if there is one. The group
// reserve that staff carry is never part of it.
func Waters(s State, full Way, short *Way) (WaterAt, error) {
	var w WaterAt
	var known []Person
	for _, p := range s.People {
		switch {
		case p.Where != WhereHere:
		case p.Water.Known:
			known = append(known, p)
		default:
			w.Unknown = append(w.Unknown, p.Name)
		}
	}
	all, err := share(known, full, s.Stock.Litres)
	if err != nil {
		return w, err
	}
	withNames := namer(known)
	w.OnFull = withNames(all)
	w.Full, w.Tied, w.Neither = w.OnFull.Go, w.OnFull.Tied, w.OnFull.Stay
	if short == nil {
		return w, nil
	}
	onShort, err := share(known, *short, s.Stock.Litres)
	if err != nil {
		return w, err
	}
	stay := slices.DeleteFunc(slices.Clone(known), func(p Person) bool {
		return !slices.Contains(all.Stay, string(p.ID))
	})
	rest, err := share(stay, *short, all.Spare)
	w.OnShort, rest = withNames(onShort), withNames(rest)
	w.Short, w.Neither = rest.Go, rest.Stay
	w.Tied = append(w.Tied, rest.Tied...)
	return w, err
}

// WaterUnseen lists the people who are here and whose water nobody has looked at.
func WaterUnseen(s State) []PersonID {
	var list []PersonID
	for _, p := range s.People {
		if p.Where == WhereHere && !p.Water.Known {
			list = append(list, p.ID)
		}
	}
	return list
}

// namer returns a function that replaces the IDs in a sharing by names. The sharing works on
// IDs because two people may have one name.
func namer(people []Person) func(Sharing) Sharing {
	by := make(map[string]string, len(people))
	for _, p := range people {
		by[string(p.ID)] = p.Name
	}
	names := func(ids []string) []string {
		var list []string
		for _, id := range ids {
			list = append(list, by[id])
		}
		return list
	}
	return func(s Sharing) Sharing {
		out := Sharing{Stay: names(s.Stay), Tied: names(s.Tied), Spare: s.Spare}
		for _, p := range s.Go {
			out.Go = append(out.Go, Portion{Name: by[p.Name], Takes: p.Takes})
		}
		return out
	}
}

// share computes the sharing for one route. Somebody can give away at most what they hold
// above their own need.
func share(people []Person, way Way, stock unit.Volume) (Sharing, error) {
	walkers := make([]Walker, len(people))
	for i, p := range people {
		spare := max(0, p.Water.Litres-way.Need)
		walkers[i] = Walker{
			Name: string(p.ID), Need: way.Need, Holds: p.Water.Litres, Gives: min(p.Water.Gives, spare),
		}
	}
	return Share(walkers, stock)
}

// WaterLines say who can go on which route with the water at the trailhead, nil without a plan.
func (t Terms) WaterLines(w WaterAt, stock WaterCheck) []string {
	if !t.Planned {
		return nil
	}
	lines := []string{fmt.Sprintf("Full route, %s each: %s.", litreWords(t.Full.Need), goersWords(w.Full))}
	if s := t.Short; s != nil {
		lines = append(lines, fmt.Sprintf("Short option%s, %s each: %s.",
			s.TurnsAt(), litreWords(s.Need), goersWords(w.Short)))
	}
	if len(w.Neither) > 0 {
		lines = append(lines, "On neither: "+list(w.Neither)+
			". They stay behind unless somebody gives them water beyond what they need themselves.")
	}
	if len(w.Tied) > 0 {
		lines = append(lines, "They are short by the same amount, and there is not enough for all of them: "+
			list(w.Tied)+
			". The leader chooses.")
	}
	if len(w.Unknown) > 0 {
		lines = append(lines, "Not looked at: "+list(w.Unknown)+".")
	}
	spare := "not looked at"
	if stock.Known {
		spare = litreWords(stock.Litres)
	}
	return append(lines,
		"Spare in the leader's car: "+spare+". The group reserve that staff carry is never handed out at the start.")
}

// TurnsAt says where the way turns, after its name: " to Notch Junction".
func (w Way) TurnsAt() string {
	if w.Name == "" {
		return ""
	}
	return " to " + w.Name
}

func goersWords(portions []Portion) string {
	var names []string
	for _, p := range portions {
		if p.Takes > 0 {
			names = append(names, p.Name+" with "+litreWords(p.Takes)+" from the car")
		} else {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return "nobody more"
	}
	return strings.Join(names, ", ")
}
