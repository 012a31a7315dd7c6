package roll

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/watch"
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

// rollFolded is the roll page's subject: the record folded, and who asks in which part.
type rollFolded struct {
	hike.Data
	rec   roll.Record
	state party.State
	part  string
	a     ui.FormState
	sight privacy.Visibility // of whoever asks
	// actions are what the viewer may see of medical cards.
	actions kit.Actions
}

func (s *Handlers) rollPage(r *http.Request, t hike.Data, rec roll.Record, a ui.FormState, wrong string) view.RollPage {
	sight := s.StaffVisibility(r, rec.Hike)
	f := rollFolded{Data: t, rec: rec, state: rec.State(), a: a, sight: sight, actions: s.ActionsFor(r, rec.Hike, sight)}
	f.part = f.partOf(r.FormValue("part"))
	h, zone := rec.Hike, t.Zone()
	p := view.RollPage{
		Page: s.Page(r, "Roll of "+h.Title, "Desk"), Hike: h.Title, URL: paths.Roll(h.ID), Stage: ui.StampOf(string(h.State)),
		Day:  format.ShortDay(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone) + ", leave " + format.Clock(h.Start, zone),
		Tabs: f.tabs(), Facts: f.facts(),
		Nobody: ui.EmptyText{Title: "Nobody on the roll", Text: "No staff are named and nobody has a confirmed place."},
	}
	p.Part = f.part
	p.Big, p.Rest = f.summary()
	p.Alerts = append(f.alerts(wrong), f.trailAlerts(s.Now())...)
	f.forms(&p, s.Now())
	f.last(&p)
	p.Offline = f.offline(kit.NameOf(r), s.Now())
	return p
}

// partOf chooses the part: what was asked for, else where the hike stands.
func (f rollFolded) partOf(asked string) string {
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

func (f rollFolded) tabs() []ui.Tab {
	at := paths.Roll(f.rec.Hike.ID) + "?part="
	tabs := []ui.Tab{{Label: "Roll call", URL: at + partStart}, {Label: "Trail", URL: at + partTrail},
		{Label: "Help", URL: at + partHelp}, {Label: "Back", URL: at + partBack}}
	for i, part := range []string{partStart, partTrail, partHelp, partBack} {
		tabs[i].Current = part == f.part
	}
	return tabs
}

// turnOrOff is the time to turn, or on a way that ends elsewhere the time to be off it.
func turnOrOff(t plan.Turnaround, zone *time.Location) format.Line {
	if at := kit.TurnClock(t, zone); at != "" {
		return format.Line{Label: "Turn round", Value: "by " + at, Note: t.Because}
	}
	if off := kit.TurnOff(t, zone); off != "" {
		return format.Line{Label: "Off the trail", Value: "by " + off, Note: t.OffTrailBecause}
	}
	return format.Line{Label: "Turn round"}
}

func (f rollFolded) facts() []format.Line {
	zone := f.Zone()
	var lines []format.Line
	if f.Plan == nil {
		lines = append(lines, format.Line{Label: "Plan", Note: "No plan: turnaround, watch and call time are not known."})
	} else {
		times := watch.TimesFor(watch.PromiseOf(f.rec.Hike, *f.Plan, f.rec.Roster), f.state)
		lines = append(lines,
			turnOrOff(f.Plan.Turnaround, zone),
			format.Line{Label: "Expected back", Value: format.Clock(times.Expected, zone)},
			format.Line{Label: "Watch time", Value: format.Clock(times.Watch, zone), Note: "on-call starts asking"},
			format.Line{Label: "Call time", Value: format.Clock(times.Call, zone), Note: "on-call calls for help"})
	}
	on := f.rec.Hike.OnCall
	if on.Name == "" {
		return append(lines, format.Line{Label: "On call", Note: "Nobody is named."})
	}
	return append(lines, format.Line{Label: "On call", Value: on.Name + ", " + on.Phone, URL: "tel:" + on.Phone})
}

func (f rollFolded) summary() (big, rest string) {
	here, back := 0, 0
	for _, p := range f.state.People {
		switch p.Where {
		case party.WhereHere:
			here++
		case party.WhereBack, party.WhereAtCar:
			back++
		}
	}
	unmarked := len(f.state.Unmarked())
	switch {
	case f.state.Departed.IsZero():
		return fmt.Sprintf("%d of %d here", here, len(f.state.People)), fmt.Sprintf("%s without an answer yet.", format.Count(unmarked, "person", "people"))
	case f.state.AllAccounted:
		return "Everybody is accounted for", fmt.Sprintf("%d back, by name.", back)
	}
	return fmt.Sprintf("%d out", len(f.state.OnTrail())), fmt.Sprintf("Left at %s with %d. The next count should give %d.", format.Clock(f.state.Departed, f.Zone()), f.state.Out, f.state.Expected)
}

func (f rollFolded) alerts(wrong string) []ui.NoteText {
	var notes []ui.NoteText
	if wrong != "" {
		notes = append(notes, ui.NoteText{Kind: ui.NoteGrave, Title: "Not recorded", Text: format.SentenceCase(wrong)})
	}
	for _, flag := range f.state.OpenFlags() {
		kind := ui.NoteCaution
		if flag.Kind == party.FlagMissing || flag.Kind == party.FlagEmergency {
			kind = ui.NoteGrave
		}
		notes = append(notes, ui.NoteText{Kind: kind, Title: format.SentenceCase(string(flag.Kind)), Text: flag.Words})
	}
	return notes
}

// event is the hidden part of a form: an id of its own, made now.
func (f rollFolded) event() view.RollEvent {
	return view.RollEvent{URL: paths.Roll(f.rec.Hike.ID), ID: uuid.NewString()}
}

// forms fills every part, also those out of sight: a phone without signal turns to them.
func (f rollFolded) forms(p *view.RollPage, now time.Time) {
	open := roll.Open(f.rec.Hike) == nil
	p.Start, p.Back = f.people(open, startButtons), f.people(open, backButtons)
	p.Search, p.Care, p.Seen = f.search(p.Emergency, open, now), f.care(p.Emergency), f.seen()
	p.Cars, p.Closing = f.cars(), f.closing()
	if !open {
		return
	}
	if f.state.Departed.IsZero() {
		p.Depart, p.Gate, p.OnStart = f.depart(), f.gate(now), f.startForms()
	}
	p.OnTrail, p.OnHelp, p.OnBack = f.trailForms(), f.helpForms(), f.backForms()
	p.Walkup, p.Away = f.walkUp(), f.away()
	p.Count, p.Early = f.headcount(), f.early()
}

func (f rollFolded) depart() *view.RollDepart {
	here, staff := 0, 0
	for _, p := range f.state.People {
		if p.Where == party.WhereHere {
			here++
			if p.Staff {
				staff++
			}
		}
	}
	d := &view.RollDepart{Event: f.event(), Blocked: roll.GateOf(f.rec, f.route()).Blocked(),
		Says: fmt.Sprintf("Leave with %s and %d staff: %d out", format.Count(here-staff, "walker", "walkers"), staff, here)}
	if names := f.state.Unmarked(); len(names) > 0 {
		d.Missing = append(d.Missing, "No answer yet: "+format.NamesShort(names)+". Mark each here or not here.")
	}
	if f.Plan == nil {
		d.Missing = append(d.Missing, "There is no plan: no watch time, no call time.")
	}
	if short := f.rec.Terms.Short; short != nil {
		d.Route = f.a.Bind(ui.Field{Name: "route", ID: "depart-route", Label: "Which way", Options: []ui.Option{
			{Value: string(party.RouteFull), Label: "Full route", Selected: true}, {Value: string(party.RouteShort), Label: "Short option" + turnsAt(short.Name)}}})
	}
	d.Reason = f.a.Bind(ui.Field{Name: "reason", ID: "depart-reason", Label: "Reason to leave all the same", Hint: "Kept with the departure."})
	return d
}

func (f rollFolded) walkUp() *view.RollWalkup {
	says := "Only with a place free, the talk done, and water and shoes seen."
	if f.Plan != nil {
		says = fmt.Sprintf("Only with a place free, the talk done, and %.1f litres and shoes seen.", f.Plan.Water.Carry.Litres())
	}
	if free := f.rec.Hike.Places - f.Data.Count(signup.Confirmed); free > 0 {
		says += fmt.Sprintf(" %s free when this page was last heard from.", format.Count(free, "place was", "places were"))
	} else {
		says += " All places are taken: without signal the answer is no."
	}
	return &view.RollWalkup{Event: f.event(), Says: says,
		Name:       f.a.Bind(ui.Field{Name: "name", ID: "walkup-name", Label: "Name"}),
		Mobile:     f.a.Bind(ui.Field{Name: "mobile", ID: "walkup-mobile", Label: "Mobile", Kind: "tel"}),
		Contact:    f.a.Bind(ui.Field{Name: "contact", ID: "walkup-contact", Label: "Whom do we ring?"}),
		ContactTel: f.a.Bind(ui.Field{Name: "contact_tel", ID: "walkup-tel", Label: "Their phone number", Kind: "tel"}),
		Water:      f.a.Bind(ui.Field{Name: "water", ID: "walkup-water", Label: "Water they carry", Unit: "litres", Short: true, Step: "0.5"}),
		Age:        f.a.Bind(ui.Field{Name: "age", ID: "walkup-age", Label: "18 or over?", Options: []ui.Option{{Value: "adult", Label: "Yes"}, {Value: "minor", Label: "No, a guardian is here and agrees"}}}),
		Agree:      f.a.Bind(ui.Field{Name: "agree", ID: "walkup-agree", Label: "They heard the risks read out and agree."}),
	}
}

func (f rollFolded) away() *view.RollAway {
	return &view.RollAway{Event: f.event(),
		Who: ui.Field{Name: "person", ID: "away-who", Label: "Who", Options: f.options(func(p party.Person) bool { return p.Where == party.WhereExpected || p.Where == party.WhereHere })},
		Reason: ui.Field{Name: "reason", ID: "away-why", Label: "Why", Options: []ui.Option{
			{Value: "too little water", Label: "Too little water"}, {Value: "shoes", Label: "Shoes"},
			{Value: "not well today", Label: "Not well today"}, {Value: "decided it themselves", Label: "Decided it themselves"}}},
	}
}

func (f rollFolded) options(want func(party.Person) bool) []ui.Option {
	options := []ui.Option{{Value: "", Label: "choose"}}
	for _, p := range f.state.People {
		if want(p) {
			options = append(options, ui.Option{Value: string(p.ID), Label: p.Name})
		}
	}
	return options
}

func isOut(p party.Person) bool { return p.Where == party.WhereOut }

func (f rollFolded) headcount() *view.RollCount {
	c := &view.RollCount{Event: f.event(), Expected: fmt.Sprintf("%d expected", f.state.Expected), NoneYet: "No count yet.",
		Place:  f.placeField("count-place", "Where"),
		Leader: f.a.Bind(ui.Field{Name: "leader", ID: "count-leader", Label: "Leader counts", Min: "0"}),
		Sweep:  f.a.Bind(ui.Field{Name: "sweep", ID: "count-sweep", Label: "Sweep counts", Min: "0", Optional: true}),
		Party:  f.partyField(), Named: f.ticks("person", "count-named", "Who is there", nil, party.WhereOut),
	}
	c.Done = ui.LedgerText{Caption: "Counts so far", Columns: []ui.Column{{Label: "At"}, {Label: "Where"}, {Label: "Leader", Figure: true}, {Label: "Sweep", Figure: true}}}
	for i := len(f.state.Counts) - 1; i >= 0; i-- {
		x := f.state.Counts[i]
		c.Done.Rows = append(c.Done.Rows, []ui.Cell{{Text: format.Clock(x.At, f.Zone())}, {Text: x.Place, Note: x.Party}, {Text: number(x.Leader)}, {Text: number(x.Sweep)}})
	}
	return c
}

// number shows a count that nobody gave as a dash, not as nobody.
func number(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

// placeField offers the trail's points where it has any.
func (f rollFolded) placeField(id, label string) ui.Field {
	q := ui.Field{Name: "place", ID: id, Label: label}
	if len(f.Trail.Points) > 0 {
		q.Options = []ui.Option{{Value: "", Label: "choose"}}
		for _, p := range f.Trail.Points {
			q.Options = append(q.Options, ui.Option{Value: p.Name, Label: p.Name})
		}
		q.Options = append(q.Options, ui.Option{Value: "on the way", Label: "Somewhere else on the way"})
	}
	return f.a.Bind(q)
}

func (f rollFolded) early() *view.RollEarly {
	return &view.RollEarly{Event: f.event(),
		Who:     ui.Field{Name: "person", ID: "early-who", Label: "Who leaves", Options: f.options(isOut)},
		Buddy:   ui.Field{Name: "buddy", ID: "early-buddy", Label: "Who walks with them", Options: f.options(isOut)},
		Where:   f.placeField("early-where", "Where they leave"),
		Going:   f.a.Bind(ui.Field{Name: "going", ID: "early-going", Label: "Where they go, and how we hear that they are there"}),
		Minutes: f.a.Bind(ui.Field{Name: "minutes", ID: "early-minutes", Label: "How long they need", Unit: "minutes", Short: true, Hint: "No word after twice that: treated as missing."}),
	}
}

// last offers to take back the newest record that is not taken back already.
func (f rollFolded) last(p *view.RollPage) {
	if roll.Open(f.rec.Hike) != nil {
		return
	}
	e, ok := party.Newest(f.rec.Events)
	if !ok {
		return
	}
	p.Last = f.words(e)
	p.Undo = view.RollEvent{URL: paths.Roll(f.rec.Hike.ID), ID: string(e.ID)}
}

// words says a record: "Amaya Reyes: here, 06:12".
func (f rollFolded) words(e party.Event) string {
	var names []string
	for _, id := range e.Persons {
		if p, ok := f.state.Person(id); ok {
			names = append(names, p.Name)
		}
	}
	at := format.Clock(e.At, f.Zone())
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
