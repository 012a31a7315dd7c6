package watch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Facts are what a hand-over sheet needs besides the roll. Empty texts appear on the sheet
// as questions.
type Facts struct {
	Trail, Nearest, Plan, Access string
	// Where is the position to go to and Sure how it is known. Where is nil if there is none.
	Where *unit.Position
	Sure  string
	// Agreed is the place of the last count that agreed, nil if it is not known.
	Agreed *unit.Position
	// CallBack are the phones to call back, with their charge.
	CallBack                                           []string
	What, Direction, Weather, Cars, Done, Kept, Family string
	// Details describe the people whom the call is about.
	Details map[party.PersonID]Detail
}

// Detail describes one person to a searcher.
type Detail struct {
	// Looks is age, sex, height, build and hair; Clothing is colors, hat, pack and glasses.
	Looks, Clothing, Footwear, Health, Carries, Experience, Mind string
}

// Entry is one line of a sheet. At is zero if the line has no time.
type Entry struct {
	Label, Text string
	At          time.Time
	// Where is set on lines that give a position.
	Where *unit.Position
}

// Item is one numbered question of the sheet with its answers. An item without entries is
// shown as not known yet.
type Item struct {
	Number  int
	Heading string
	Entries []Entry
}

// Known reports whether the item has an answer.
func (i Item) Known() bool { return len(i.Entries) > 0 }

// HandOver makes the sheet for search and rescue, in the order in which they ask. It is
// about the people who are missing or not accounted for.
func HandOver(n Names, f Facts, s party.State) []Item {
	items := []Item{
		{Heading: "Where", Entries: where(f)},
		{Heading: "Phones to call back", Entries: phones(f.CallBack)},
		{Heading: "What happened, who is missing", Entries: slices.Concat(what(f, s), noted(s, party.TopicWith),
			noted(s, party.TopicAsked))},
		{Heading: "When and where last seen", Entries: lastSeen(f, s)},
		{Heading: "Who they are", Entries: append(about(f, s, looks), noted(s, party.TopicClothing)...)},
		{Heading: "Health now", Entries: about(f, s, func(d Detail) string { return d.Health })},
		{Heading: "What they carry", Entries: append(about(f, s, func(d Detail) string { return d.Carries }),
			noted(s, party.TopicPhone)...)},
		{Heading: "Experience, plan, likely wrong turns", Entries: append(line("Plan", f.Plan),
			about(f, s, func(d Detail) string { return d.Experience })...)},
		{Heading: "State of mind, hearing, language", Entries: about(f, s, func(d Detail) string { return d.Mind })},
		{Heading: "Weather, light and access", Entries: append(line("Weather and light", f.Weather),
			line("Access", f.Access)...)},
		{Heading: "The rest of the group", Entries: others(n, s)},
		{Heading: "Vehicles and keys", Entries: line("Vehicles", f.Cars)},
		{Heading: "Done so far, tracks kept", Entries: slices.Concat(line("Done", f.Done), searched(s),
			noted(s, party.TopicDone), line("Kept clear", f.Kept))},
		{Heading: "Family informed", Entries: line("Family", f.Family)},
	}
	for i := range items {
		items[i].Number = i + 1
	}
	return items
}

// line is one entry, or none if the text is blank.
func line(label, text string) []Entry {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	return []Entry{{Label: label, Text: text}}
}

func where(f Facts) []Entry {
	var list []Entry
	if f.Where != nil {
		text := "datum WGS84"
		if f.Sure != "" {
			text += ", " + f.Sure
		}
		list = append(list, Entry{Label: "Position", Text: text, Where: f.Where})
	}
	list = append(list, line("Trail", f.Trail)...)
	return append(list, line("Nearest junction", f.Nearest)...)
}

func phones(numbers []string) []Entry {
	var list []Entry
	for _, n := range numbers {
		list = append(list, line("Phone", n)...)
	}
	return list
}

// what gives the count as responders need it: how many are accounted for by name, and who is
// missing.
func what(f Facts, s party.State) []Entry {
	list := line("What happened", f.What)
	if people := Sought(s); len(people) > 0 && people[0].Missing {
		names := make([]string, len(people))
		for i, p := range people {
			names[i] = p.Name
		}
		missing := Entry{Label: "Missing", Text: strings.Join(names, ", ") + "; " + othersWords(s.Expected)}
		if search, open := s.Searching(); open {
			missing.Label, missing.At = "Missing since", search.Began
		}
		list = append(list, missing)
	}
	if search, open := s.Searching(); open {
		list = append(list, searchEntries(search)...)
		return append(list, reports(s)...)
	}
	if unwell := s.Emergencies(); len(unwell) > 0 {
		for _, u := range unwell {
			list = append(list, Entry{Label: strings.Join(s.Names(u.Open), ", "), Text: u.SignWords(), At: u.Seen.At})
		}
		return append(list, reports(s)...)
	}
	if missing := s.Missing(); len(missing) > 0 {
		known := len(s.People) - len(s.MissingPersons())
		list = append(list, Entry{Label: "Count", Text: fmt.Sprintf(
			"%d of %d accounted for by name. Not accounted for: %s",
			known, len(s.People)+s.Unnamed, strings.Join(missing, ", "))})
	}
	return append(list, reports(s)...)
}

// othersWords says how many of the group were counted besides the missing.
func othersWords(n int) string {
	switch n {
	case 0:
		return "nobody else was counted"
	case 1:
		return "the other one was counted"
	}
	return fmt.Sprintf("the other %d were counted", n)
}

// searchEntries say since when people are missing, and what makes it urgent.
func searchEntries(s party.Search) []Entry {
	list := []Entry{{Label: "Reported missing by " + s.By, Text: "the search began", At: s.Began}}
	if len(s.Factors) > 0 {
		words := make([]string, len(s.Factors))
		for i, f := range s.Factors {
			words[i] = string(f)
		}
		list = append(list, Entry{Label: "What makes it urgent", Text: strings.Join(words, ", ")})
	}
	return list
}

// noted is what the leader wrote for rescuers about a topic.
func noted(s party.State, topic string) []Entry {
	var list []Entry
	for _, n := range s.NotedAbout(topic) {
		label := strings.ToUpper(topic[:1]) + topic[1:]
		list = append(list, Entry{Label: label, Text: n.Text + " (noted by " + n.By + ")", At: n.At})
	}
	return list
}

// reports are the calls for help from the trail.
func reports(s party.State) []Entry {
	var list []Entry
	for _, r := range s.Reports {
		if r.Trouble {
			list = append(list, Entry{Label: "Message from " + r.By, Text: r.Note, At: r.At})
		}
	}
	return list
}

func lastSeen(f Facts, s party.State) []Entry {
	var list []Entry
	for _, p := range Sought(s) {
		if last := s.LastKnown(p); !last.At.IsZero() {
			text := "last seen or counted at " + party.PlaceWords(last.Place)
			list = append(list, Entry{Label: p.Name, Text: text, At: last.At})
		}
	}
	if search, open := s.Searching(); open {
		text := party.PlaceWords(search.SeenPlace) + ", by " + orNotNamed(search.SeenBy)
		list = append(list, Entry{Label: "Last seen", Text: text, At: search.SeenAt})
		list = append(list, line("What they said", search.Said)...)
	}
	list = append(list, line("Direction", f.Direction)...)
	for _, g := range s.Gaps {
		list = append(list, Entry{Label: "Short count", Text: s.GapWords(g), At: g.Since.At})
	}
	if c, ok := s.LastAgreed(); ok {
		text := fmt.Sprintf("%d at %s", c.Expected, party.PlaceWords(c.Place))
		list = append(list, Entry{Label: "Last count that agreed", Text: text, At: c.At, Where: f.Agreed})
	}
	return list
}

// Sought returns the people an open search is for, or without one those who show signs of an
// emergency, or without any everybody not accounted for.
func Sought(s party.State) []party.Person {
	var list []party.Person
	for _, p := range s.People {
		if p.Missing {
			list = append(list, p)
		}
	}
	if len(list) > 0 {
		return list
	}
	for _, u := range s.Emergencies() {
		for _, id := range u.Open {
			if p, known := s.Person(id); known &&
				!slices.ContainsFunc(list, func(x party.Person) bool { return x.ID == id }) {
				list = append(list, p)
			}
		}
	}
	if len(list) > 0 {
		return list
	}
	return s.MissingPersons()
}

// searched lists what the group itself has done to find them.
func searched(s party.State) []Entry {
	search, open := s.Searching()
	if !open {
		return nil
	}
	steps := party.SearchSteps()
	var list []Entry
	for _, t := range search.Steps {
		if t.Step >= 1 && t.Step <= len(steps) {
			label := fmt.Sprintf("Step %d, by %s", t.Step, t.By)
			list = append(list, Entry{Label: label, Text: steps[t.Step-1], At: t.At})
		}
	}
	return list
}

func looks(d Detail) string {
	var known []string
	for _, p := range []string{d.Looks, d.Clothing, d.Footwear} {
		if strings.TrimSpace(p) != "" {
			known = append(known, p)
		}
	}
	return strings.Join(known, "; ")
}

// about lists one detail of every missing person.
func about(f Facts, s party.State, detail func(Detail) string) []Entry {
	var list []Entry
	for _, p := range Sought(s) {
		list = append(list, line(p.Name, detail(f.Details[p.ID]))...)
	}
	return list
}

// others says how many walk on, and where each group was last counted.
func others(n Names, s party.State) []Entry {
	var list []Entry
	for _, g := range s.Parties {
		text := fmt.Sprintf("%d expected, parted at %s", g.Expected, party.PlaceWords(g.Since.Place))
		list = append(list, Entry{Label: g.Name, Text: text, At: g.Since.At})
	}
	for _, g := range s.Early {
		if len(g.Open) > 0 {
			text := fmt.Sprintf("left early for %s at %s, not confirmed there", cmp.Or(g.To, "the car"),
				party.PlaceWords(g.Left.Place))
			list = append(list, Entry{Label: strings.Join(s.Names(g.Open), ", "), Text: text, At: g.Left.At})
		}
	}
	if s.Expected > 0 {
		text := fmt.Sprintf("%d together, led by %s, sweep %s",
			s.Expected, orNotNamed(n.Leader), orNotNamed(n.Sweep))
		list = append(list, Entry{Label: "Group", Text: text})
	}
	return list
}

func orNotNamed(name string) string { return cmp.Or(name, "not named") }
