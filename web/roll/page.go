package roll

import (
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/phone"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// The parts of the roll, by the word in its address.
const (
	partStart = "start"
	partTrail = "trail"
	partHelp  = "help"
	partBack  = "back"
)

// foldedRoll is what the roll page is made of: the record folded, and what the viewer asked
// for and may see.
type foldedRoll struct {
	hike.Data
	rec        roll.Record
	state      party.State
	part       string
	form       ui.FormState
	visibility privacy.Visibility
	// actions are the lines of medical cards that the viewer may see.
	actions kit.Actions
}

// rollPage makes the page. wrong is what was wrong with the last record, "" for nothing.
func (s *Handlers) rollPage(
	r *http.Request, t hike.Data, rec roll.Record, form ui.FormState, wrong string,
) (p view.RollPage, err error) {
	visibility := s.StaffVisibility(r, rec.Hike)
	f := foldedRoll{
		Data: t, rec: rec, state: rec.State(), form: form, visibility: visibility,
		actions: s.ActionsFor(r, rec.Hike, visibility),
	}
	f.part = f.partOf(r.FormValue("part"))
	h := rec.Hike
	p = view.RollPage{
		Page: s.Page(r, "Roll of "+h.Title, "Desk"), Hike: h.Title, URL: paths.Roll(h.ID),
		Stage: ui.StampOf(string(h.State)),
		Day:   format.ShortDay(h.Start, t.Zone()) + ", meet " + f.clock(h.Meet) + ", leave " + f.clock(h.Start),
		Tabs:  f.tabs(), Facts: f.facts(), Part: f.part,
		Nobody: ui.EmptyText{
			Title: "Nobody on the roll", Text: "No staff are named and nobody has a confirmed place.",
		},
	}
	p.Big, p.Rest = f.summary()
	p.Wrong, p.Flags, p.Alerts = notRecorded(wrong), f.flags(s.Now()), f.trailAlerts()
	p.Thunder = f.thunder(s.Now())
	f.addForms(&p, s.Now())
	f.addLast(&p)
	if p.Offline, err = f.offline(kit.NameOf(r), p.Emergency, s.Now()); err != nil {
		return p, err
	}
	return p, nil
}

// clock writes a time by the trailhead's wall clock.
func (f foldedRoll) clock(t time.Time) string { return format.Clock(t, f.Zone()) }

// partOf chooses the part: the one asked for, else the one that fits the state of the hike.
func (f foldedRoll) partOf(asked string) string {
	switch {
	case asked == partStart || asked == partTrail || asked == partBack || asked == partHelp:
		return asked
	case f.state.Departed.IsZero():
		return partStart
	case f.rec.Hike.State == hike.Back || f.rec.Hike.State == hike.Closed:
		return partBack
	}
	return partTrail
}

func (f foldedRoll) tabs() []ui.Tab {
	var tabs []ui.Tab
	for _, t := range []struct{ part, label string }{
		{partStart, "Roll call"}, {partTrail, "Trail"}, {partHelp, "Help"}, {partBack, "Back"},
	} {
		url := paths.Roll(f.rec.Hike.ID) + "?part=" + t.part
		tabs = append(tabs, ui.Tab{Label: t.label, URL: url, Current: t.part == f.part})
	}
	return tabs
}

func (f foldedRoll) facts() []format.Line {
	var lines []format.Line
	if f.Plan == nil {
		lines = append(lines,
			format.Line{Label: "Plan", Note: "No plan: turnaround, watch and call time are not known."})
		if f.Clocks.TurnAt != "" {
			lines = append(lines, kit.TurnLine(f.Clocks, f.Zone()))
		}
	} else {
		times := f.Clocks
		lines = append(append(lines, kit.TurnLines(times, f.Zone())...),
			format.FactLine("Expected back", format.FactExpected, times.Expected, f.Zone()),
			format.FactLine("Watch time", format.FactWatch, times.Watch, f.Zone()).With(kit.WatchNote(times, f.Zone())),
			format.FactLine("Call time", format.FactCall, times.Call, f.Zone()).With("on-call calls for help"))
	}
	on := f.rec.Hike.OnCall
	if on.Name == "" {
		return append(lines, format.Line{Label: "On call", Note: "Nobody is named."})
	}
	return append(lines, format.Line{Label: "On call", Value: on.Name + ", " + on.Phone, URL: "tel:" + on.Phone})
}

// countIn counts the people whose whereabouts are one of these.
func (f foldedRoll) countIn(in ...party.Whereabouts) int {
	n := 0
	for _, p := range f.state.People {
		if isIn(p, in) {
			n++
		}
	}
	return n
}

func (f foldedRoll) summary() (big, rest string) {
	unmarked := format.Count(len(f.state.Unmarked()), "person", "people")
	switch {
	case f.state.Departed.IsZero():
		rest = unmarked + " without an answer yet."
	case f.state.AllAccounted:
		rest = fmt.Sprintf("%d back, by name.", f.countIn(party.WhereBack, party.WhereAtCar))
	default:
		rest = fmt.Sprintf("Left at %s with %d. The next count should give %d.",
			f.clock(f.state.Departed), f.state.Out, f.state.Expected)
	}
	return phone.Headline(f.state), rest
}

func notRecorded(wrong string) []ui.NoteText {
	if wrong == "" {
		return nil
	}
	return []ui.NoteText{{Kind: ui.NoteGrave, Title: "Not recorded", Text: format.SentenceCase(wrong)}}
}

// flags are drawn by the script from the phone's own fold, with the phone's records in it.
func (f foldedRoll) flags(now time.Time) []view.RollWarning {
	var list []view.RollWarning
	for _, flag := range phone.Flags(f.state, now) {
		w := view.RollWarning{Note: ui.NoteText{
			Kind: ui.NoteCaution, Title: format.SentenceWord(string(flag.Kind)),
			Text: format.SentenceWord(flag.Words),
		}}
		if flag.Look != "" {
			w.Note.Text += ". " + kit.LookWords(flag.Look, flag.Since.Place, flag.Since.At, f.Zone())
		}
		if flag.Alarm {
			w.Note.Kind = ui.NoteGrave
		}
		if flag.Settle {
			w.Claims = f.claims(flag.Claims)
		}
		list = append(list, w)
	}
	return list
}

// claims are the records of a conflict, each with its time and who made it.
func (f foldedRoll) claims(claims []phone.Claim) []view.RollClaim {
	list := make([]view.RollClaim, len(claims))
	for i, c := range claims {
		list[i] = view.RollClaim{
			URL: paths.Roll(f.rec.Hike.ID), Event: string(c.Event),
			Text: format.SentenceWord(string(c.Kind)) + ", " + f.clock(c.At) + ", by " + c.By,
		}
	}
	return list
}

// addForms fills in every part, including those out of sight, because a phone without signal
// switches between them.
func (f foldedRoll) addForms(p *view.RollPage, now time.Time) {
	open := roll.Open(f.rec.Hike) == nil
	p.Start, p.Back = f.people(open, startButtons), f.people(open, backButtons)
	p.Search, p.Care, p.Seen = f.search(p.Emergency, open, now), f.care(p.Emergency), f.seen()
	p.Cars, p.Closing = f.cars(), f.closing()
	if !open {
		return
	}
	p.Depart, p.Gate, p.OnStart = f.depart(now), f.gate(now), f.startForms()
	p.Sheet = f.sheet(p.Emergency)
	p.OnTrail, p.OnHelp, p.OnBack = f.trailForms(), f.helpForms(), f.backForms()
	p.Walkup, p.Away = f.walkUp(), f.away()
	p.Count, p.Early = f.headcount(), f.early()
}

// newEvent is the hidden part of a form: the ID of the event, made now so that a form that
// is sent twice is one event.
func (f foldedRoll) newEvent() view.RollEvent {
	return view.RollEvent{URL: paths.Roll(f.rec.Hike.ID), ID: uuid.NewString()}
}

// addLast offers to undo the newest event.
func (f foldedRoll) addLast(p *view.RollPage) {
	if roll.Open(f.rec.Hike) != nil {
		return
	}
	e, ok := party.Newest(f.rec.Events)
	if !ok {
		return
	}
	p.Last = f.eventWords(e)
	p.Undo = view.RollEvent{URL: paths.Roll(f.rec.Hike.ID), ID: string(e.ID)}
}

// eventWords describes an event: "Amaya Reyes: here, 06:12".
func (f foldedRoll) eventWords(e party.Event) string {
	names := f.namesOf(e.Persons)
	at := f.clock(e.At)
	switch {
	case e.Kind == party.KindCounted:
		return "Count at " + e.Place + ", " + at
	case e.Kind == party.KindDeparted:
		return fmt.Sprintf("Departed with %d, %s", e.Number, at)
	case len(names) > 0:
		return format.NamesShort(names) + ": " + string(e.Kind) + ", " + at
	}
	return string(e.Kind) + ", " + at
}

// namesOf lists the names of those of the people who are on the roll.
func (f foldedRoll) namesOf(ids []party.PersonID) []string {
	var names []string
	for _, id := range ids {
		if p, known := f.state.Person(id); known {
			names = append(names, p.Name)
		}
	}
	return names
}
