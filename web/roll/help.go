package roll

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// search is the search that is open, or whose finding has not been told to all; hidden
// where there is none, for a phone without signal to begin.
func (f rollFolded) search(emergency string, open bool, now time.Time) view.RollSearch {
	p := view.RollSearch{Hidden: true, Emergency: emergency, HandOver: paths.Hike(f.rec.Hike.ID) + "/hand-over",
		Call: ui.NoteText{Kind: ui.NoteGrave, Title: "-", Text: "-"}}
	var s party.Search
	if n := len(f.state.Searches); n > 0 {
		s = f.state.Searches[n-1]
		p.Hidden = !s.Ended.IsZero() && s.NextToNotify() == ""
	}
	p.Steps = f.searchSteps(s, open)
	if open {
		p.Next = f.tellForm(s)
	}
	if p.Hidden {
		return p
	}
	p.Began, p.Running = s.Began.UTC().Format(time.RFC3339), s.Ended.IsZero()
	p.Who = f.missedNames(s)
	p.Since = "missed since " + format.Clock(s.Began, f.Zone())
	if p.Running {
		p.Since += ", " + format.Duration(now.Sub(s.Began))
	}
	p.Call = f.callNote(s, now)
	p.Facts = f.searchFacts(s)
	return p
}

// tellForm says who is to hear next that they are found; out of sight until they are.
func (f rollFolded) tellForm(s party.Search) view.RollForm {
	next := format.OrElse(s.NextToNotify(), party.NotifyOrder()[0])
	return view.RollForm{Key: "told", Title: "Found: tell the " + next + " now", Text: "Searchers first, then on-call, then the family. Press when they have heard.",
		Open: true, Hidden: len(s.Found) == 0 || s.NextToNotify() == "", Event: f.event(),
		Asks: []view.RollAsk{{As: "hidden", Field: ui.Field{Name: "going", Value: next}}}, Button: wideButton("Told the "+next, "told")}
}

func (f rollFolded) missedNames(s party.Search) string {
	var names []string
	for _, id := range s.Persons {
		if p, known := f.state.Person(id); known {
			names = append(names, p.Name)
		}
	}
	if more := s.Number - len(s.Persons); more > 0 {
		names = append(names, format.Count(more, "person", "people")+" not known by name")
	}
	return strings.Join(names, ", ")
}

// callNote says when to call for help and why then.
func (f rollFolded) callNote(s party.Search, now time.Time) ui.NoteText {
	at := format.Clock(s.CallAt(), f.Zone())
	switch {
	case !s.Ended.IsZero():
		return ui.NoteText{Title: "Found at " + format.Clock(s.Ended, f.Zone()), Text: "The search is over when searchers, on-call and family have heard."}
	case s.Urgent():
		return ui.NoteText{Kind: ui.NoteGrave, Title: "Call for help now", Text: "Because: " + factorWords(s.Factors) + ". Any one of these makes it most urgent."}
	case !now.Before(s.CallAt()):
		return ui.NoteText{Kind: ui.NoteGrave, Title: "Call for help now", Text: "The back-check has not brought them back (" + at + ")."}
	}
	return ui.NoteText{Kind: ui.NoteCaution, Title: "Call at " + at + " at the latest", Text: "One back-check first. If it comes back without them, call at once."}
}

func factorWords(list []party.Factor) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = string(x)
	}
	return strings.Join(words, ", ")
}

func (f rollFolded) searchFacts(s party.Search) []format.Line {
	said := s.SeenPlace
	if !s.SeenAt.IsZero() {
		said += ", " + format.Clock(s.SeenAt, f.Zone())
	}
	lines := []format.Line{{Label: "Last seen", Value: said, Note: "by " + format.OrElse(s.SeenBy, "nobody known")}}
	for _, id := range s.Persons {
		if p, known := f.state.Person(id); known {
			lines = append(lines, format.Line{Label: "Last agreed count", Value: format.OrElse(kit.LastWords(p, f.Zone()), "none"), Note: p.Name + strings.TrimRight(", "+p.Party, ", ")})
		}
	}
	if s.Said != "" {
		lines = append(lines, format.Line{Label: "What they said", Value: s.Said})
	}
	for _, x := range s.Found {
		p, _ := f.state.Person(x.Person)
		lines = append(lines, format.Line{Label: "Found " + format.Clock(x.At, f.Zone()), Value: p.Name + ", " + x.Place, Note: x.Note})
	}
	for _, t := range s.Told {
		lines = append(lines, format.Line{Label: "Told " + format.Clock(t.At, f.Zone()), Value: t.Who, Note: "by " + t.By})
	}
	return lines
}

func (f rollFolded) searchSteps(s party.Search, open bool) []view.RollStep {
	var list []view.RollStep
	for i, text := range party.SearchSteps() {
		x := view.RollStep{Number: strconv.Itoa(i + 1), Text: text}
		if tick, done := s.Done(i + 1); done {
			x.Done = "Done " + format.Clock(tick.At, f.Zone()) + ", " + tick.By
			if i+1 == party.BackCheck && !s.Failed.IsZero() {
				x.Done = "Came back without them " + format.Clock(s.Failed, f.Zone()) + ", " + tick.By
			}
		}
		if open {
			x.Event = f.event()
			if i+1 == party.BackCheck {
				x.FailEvent = f.event()
			}
		}
		list = append(list, x)
	}
	return list
}

// helpForms begin and end a search, and say that somebody is not well.
func (f rollFolded) helpForms() []view.RollForm {
	_, searching := f.state.Searching()
	return []view.RollForm{
		{Key: "found", Title: "Found", Open: true, Hidden: !searching, Event: f.event(), Asks: []view.RollAsk{
			f.ticks("person", "found-who", "Who", nil, party.WhereOut, party.WhereLeftEarly, party.WhereHere),
			{As: "text", Field: ui.Field{Name: "place", ID: "found-where", Label: "Where"}},
			{As: "text", Field: ui.Field{Name: "reason", ID: "found-how", Label: "How they are", Optional: true}}},
			Button: ui.ButtonText{Label: "Found", Kind: ui.ButtonMain, Name: "kind", Value: "found", Wide: true}},
		{Key: "missing", Title: "Somebody is missing", Open: !searching, Event: f.event(), Asks: []view.RollAsk{
			f.ticks("person", "missing-who", "Who", nil, party.WhereOut, party.WhereLeftEarly),
			{As: "number", Field: ui.Field{Name: "leader", ID: "missing-n", Label: "How many, where a name is not known", Short: true, Optional: true}},
			{As: "text", Field: ui.Field{Name: "place", ID: "missing-where", Label: "Where they were last seen"}},
			{As: "text", Field: ui.Field{Name: "seen_by", ID: "missing-by", Label: "Who saw them last", Optional: true}},
			{As: "number", Field: ui.Field{Name: "seen_ago", ID: "missing-ago", Label: "How long ago", Unit: "minutes", Short: true, Optional: true}},
			{As: "text", Field: ui.Field{Name: "reason", ID: "missing-said", Label: "What they said, and which way", Optional: true}},
			f.factors()},
			Button: ui.ButtonText{Label: "Somebody is missing", Kind: ui.ButtonGrave, Name: "kind", Value: "missing", Wide: true}},
		{Key: "unwell", Title: "Somebody is not well", Event: f.event(), Asks: []view.RollAsk{
			f.ticks("person", "unwell-who", "Who", nil, party.WhereOut, party.WhereHere, party.WhereLeftEarly), signs(),
			{As: "text", Field: ui.Field{Name: "place", ID: "unwell-where", Label: "Where you are", Optional: true}}},
			Button: ui.ButtonText{Label: "What to do now", Kind: ui.ButtonGrave, Name: "kind", Value: "unwell", Wide: true}},
	}
}

// factors are offered with those ticked that the plan knows of.
func (f rollFolded) factors() view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: "factor", ID: "missing-factor", Label: "Any of these: call now", Hint: "A minor, and somebody with a line to act on, are known to the roll."}}
	for _, x := range party.Factors() {
		ask.People = append(ask.People, view.RollTick{ID: string(x), Name: format.SentenceWord(string(x)), Checked: x == party.FactorHeat && f.rec.Terms.Hot})
	}
	return ask
}

func signs() view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: "sign", ID: "unwell-sign", Label: "What you see"}}
	for _, x := range party.Signs() {
		ask.People = append(ask.People, view.RollTick{ID: string(x), Name: format.SentenceWord(string(x))})
	}
	return ask
}

// care shows what to do for everybody who is not well and not yet off the trail, the latest
// first.
func (f rollFolded) care(emergency string) []view.RollCare {
	var list []view.RollCare
	for _, u := range slices.Backward(f.state.Unwell) {
		var names []string
		for _, id := range u.Persons {
			if p, _ := f.state.Person(id); !p.Where.Accounted() {
				names = append(names, p.Name)
			}
		}
		if len(names) == 0 {
			continue
		}
		c := view.RollCare{Note: ui.NoteText{Kind: ui.NoteCaution, Title: u.Care.Title, Points: u.Care.Do,
			Text: fmt.Sprintf("%s, %s: %s.", strings.Join(names, ", "), format.Clock(u.Seen.At, f.Zone()), signWords(u.Signs))}}
		if u.Care.Emergency {
			c.Note.Kind, c.Call = ui.NoteGrave, emergency
		}
		list = append(list, c)
	}
	return list
}

func signWords(list []party.Sign) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = string(x)
	}
	return strings.Join(words, ", ")
}
