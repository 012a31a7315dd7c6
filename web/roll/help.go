package roll

import (
	"fmt"
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

// search shows the latest search. It is hidden if there is none, so that a phone without
// signal can begin one.
func (f foldedRoll) search(emergency string, open bool, now time.Time) view.RollSearch {
	s, shown := f.state.LastSearch()
	p := view.RollSearch{
		Hidden: !shown, Emergency: emergency, HandOver: paths.Hike(f.rec.Hike.ID) + "/hand-over",
		Call: ui.NoteText{Kind: ui.NoteGrave, Title: "-", Text: "-"}, Steps: f.searchSteps(s, open),
	}
	if open {
		p.Next = f.tellForm(s)
	}
	if !shown {
		return p
	}
	p.Began, p.Running = s.Began.UTC().Format(time.RFC3339), s.Ended.IsZero()
	p.Who = format.Join(f.state.MissedNames(s), ", ")
	p.Since = "missed since " + f.clock(s.Began)
	if p.Running {
		p.Since += ", " + format.Duration(now.Sub(s.Began))
	}
	p.Call = f.callNote(s, now)
	p.Facts = f.searchFacts(s)
	return p
}

// tellForm says who is to be told next that the missing are found. It is hidden until they
// are.
func (f foldedRoll) tellForm(s party.Search) view.RollForm {
	next := format.OrElse(s.NextToNotify(), party.NotifyOrder()[0])
	return view.RollForm{
		Key: "told", Title: "Found: tell the " + next + " now", Event: f.newEvent(),
		Text: "Searchers first, then on-call, then the family. Press when they have heard.",
		Open: true, Hidden: len(s.Found) == 0 || s.NextToNotify() == "",
		Asks:   []view.RollAsk{{As: "hidden", Field: ui.Field{Name: "going", Value: next}}},
		Button: wideButton("Told the "+next, "told", ui.ButtonPlain),
	}
}

// callNote says when to call for help and why then.
func (f foldedRoll) callNote(s party.Search, now time.Time) ui.NoteText {
	at := f.clock(s.CallAt())
	switch {
	case !s.Ended.IsZero():
		return ui.NoteText{
			Title: "Found at " + f.clock(s.Ended),
			Text:  "The search is over when searchers, on-call and family have heard.",
		}
	case s.Urgent():
		return ui.NoteText{
			Kind: ui.NoteGrave, Title: "Call for help now",
			Text: "Because: " + format.Join(s.Factors, ", ") + ". Any one of these makes it most urgent.",
		}
	case !now.Before(s.CallAt()):
		return ui.NoteText{
			Kind: ui.NoteGrave, Title: "Call for help now",
			Text: "The back-check has not brought them back (" + at + ").",
		}
	}
	return ui.NoteText{
		Kind: ui.NoteCaution, Title: "Call at " + at + " at the latest",
		Text: "One back-check first. If it comes back without them, call at once.",
	}
}

func (f foldedRoll) searchFacts(s party.Search) []format.Line {
	seen := s.SeenPlace
	if !s.SeenAt.IsZero() {
		seen += ", " + f.clock(s.SeenAt)
	}
	lines := []format.Line{{Label: "Last seen", Value: seen, Note: "by " + format.OrElse(s.SeenBy, "nobody known")}}
	for _, id := range s.Persons {
		if p, known := f.state.Person(id); known {
			lines = append(lines, format.Line{
				Label: "Last agreed count", Value: format.OrElse(kit.LastWords(p, f.Zone()), "none"),
				Note: p.Name + strings.TrimRight(", "+p.Party, ", "),
			})
		}
	}
	if s.Said != "" {
		lines = append(lines, format.Line{Label: "What they said", Value: s.Said})
	}
	for _, x := range s.Found {
		p, _ := f.state.Person(x.Person)
		lines = append(lines,
			format.Line{Label: "Found " + f.clock(x.At), Value: p.Name + ", " + x.Place, Note: x.Note})
	}
	for _, t := range s.Told {
		lines = append(lines, format.Line{Label: "Told " + f.clock(t.At), Value: t.Who, Note: "by " + t.By})
	}
	return lines
}

func (f foldedRoll) searchSteps(s party.Search, open bool) []view.RollStep {
	var list []view.RollStep
	for i, text := range party.SearchSteps() {
		number := i + 1
		x := view.RollStep{Number: strconv.Itoa(number), Text: text}
		if tick, done := s.Done(number); done {
			x.Done = "Done " + f.clock(tick.At) + ", " + tick.By
			if number == party.BackCheck && !s.Failed.IsZero() {
				x.Done = "Came back without them " + f.clock(s.Failed) + ", " + tick.By
			}
		}
		if open {
			x.Event = f.newEvent()
			if number == party.BackCheck {
				x.FailEvent = f.newEvent()
			}
		}
		list = append(list, x)
	}
	return list
}

// helpForms begin and end a search, and record that somebody is unwell.
func (f foldedRoll) helpForms() []view.RollForm {
	_, searching := f.state.Searching()
	return []view.RollForm{
		f.notedForm(),
		{
			Key: "found", Title: "Found", Open: true, Hidden: !searching, Event: f.newEvent(),
			Asks: []view.RollAsk{
				f.ticks("person", "found-who", "Who", nil, party.WhereOut, party.WhereLeftEarly, party.WhereHere),
				optional(numberAsk("leader", "found-n", "How many, where a name is not known", "")),
				textAsk("place", "found-where", "Where"),
				optional(textAsk("reason", "found-how", "How they are")),
			},
			Button: wideButton("Found", "found", ui.ButtonMain),
		},
		{
			Key: "named", Title: "Who the missing person is", Hidden: !searching, Event: f.newEvent(),
			Text: "For somebody who was recorded as missing without a name.",
			Asks: []view.RollAsk{
				f.ticks("person", "named-who", "Who", nil, party.WhereOut, party.WhereLeftEarly, party.WhereHere),
			},
			Button: wideButton("This is who is missing", "named", ui.ButtonPlain),
		},
		{
			Key: "missing", Title: "Somebody is missing", Open: !searching, Event: f.newEvent(),
			Asks: []view.RollAsk{
				f.ticks("person", "missing-who", "Who", nil, party.WhereOut, party.WhereLeftEarly),
				optional(numberAsk("leader", "missing-n", "How many, where a name is not known", "")),
				textAsk("place", "missing-where", "Where they were last seen"),
				optional(textAsk("seen_by", "missing-by", "Who saw them last")),
				optional(numberAsk("seen_ago", "missing-ago", "How long ago", "minutes")),
				optional(textAsk("reason", "missing-said", "What they said, and which way")),
				f.factorsAsk(),
			},
			Button: wideButton("Somebody is missing", "missing", ui.ButtonGrave),
		},
		{
			Key: "unwell", Title: "Somebody is not well", Event: f.newEvent(),
			Asks: []view.RollAsk{
				f.ticks("person", "unwell-who", "Who", nil, party.WhereOut, party.WhereHere, party.WhereLeftEarly),
				signsAsk(),
				optional(textAsk("place", "unwell-where", "Where you are")),
			},
			Button: wideButton("What to do now", "unwell", ui.ButtonGrave),
		},
	}
}

// notedForm fills in the hand-over, one line at a time.
func (f foldedRoll) notedForm() view.RollForm {
	topic := view.RollAsk{As: "choice", Field: ui.Field{Name: "going", ID: "noted-topic", Label: "About"}}
	for _, t := range party.Topics() {
		topic.Options = append(topic.Options, ui.Option{Value: t, Label: format.SentenceWord(t)})
	}
	return view.RollForm{
		Key: "noted", Title: "Add to the hand-over", Event: f.newEvent(),
		Text:   "What rescuers will ask. It is kept on this phone at once and sent with the next signal.",
		Asks:   []view.RollAsk{topic, textAsk("reason", "noted-text", "What to write down")},
		Button: wideButton("Write it on the hand-over", "noted", ui.ButtonPlain),
	}
}

// factorsAsk offers the factors of urgency. Heat is checked if the plan says that it is hot.
func (f foldedRoll) factorsAsk() view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{
		Name: "factor", ID: "missing-factor", Label: "Any of these: call now",
		Hint: "A minor, and somebody with a line to act on, are known to the roll.",
	}}
	for _, x := range party.Factors() {
		ask.People = append(ask.People, view.RollTick{
			ID: string(x), Name: format.SentenceWord(string(x)), Checked: x == party.FactorHeat && f.rec.Terms.Hot,
		})
	}
	return ask
}

func signsAsk() view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: "sign", ID: "unwell-sign", Label: "What you see"}}
	for _, x := range party.Signs() {
		ask.People = append(ask.People, view.RollTick{ID: string(x), Name: format.SentenceWord(string(x))})
	}
	return ask
}

// care shows what to do for everybody who is unwell and not yet accounted for, the latest
// first.
func (f foldedRoll) care(emergency string) []view.RollCare {
	var list []view.RollCare
	for _, u := range f.state.CareDue() {
		c := view.RollCare{Note: careNote(u.Care)}
		c.Note.Text = fmt.Sprintf("%s, %s: %s.",
			format.Join(f.namesOf(u.Open), ", "), f.clock(u.Seen.At), format.Join(u.Signs, ", "))
		if u.Care.Emergency {
			c.Call = emergency
		}
		list = append(list, c)
	}
	return list
}

func careNote(c party.Care) ui.NoteText {
	n := ui.NoteText{Kind: ui.NoteCaution, Title: c.Title, Text: "-", Points: c.Do}
	if c.Emergency {
		n.Kind = ui.NoteGrave
	}
	return n
}
