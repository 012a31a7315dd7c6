package watch

import (
	"net/http"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

func (s *Handlers) watchPage(r *http.Request, x watchData, a ui.FormState) view.WatchPage {
	now, zone := s.Now(), x.Zone()
	phase := x.Phase(now)
	p := view.WatchPage{
		Page:  s.Page(r, "Watch of "+x.Hike.Title, "Board"),
		Over:  x.Case.Trail + ", " + format.Day(x.Hike.Start, zone) + ", as of " + format.Clock(now, zone),
		Name:  x.Hike.Title,
		Phase: phaseStamp(phase), Says: phaseMeaning(x.Case, phase), Asleep: s.asleep(r.Context()), Why: x.Times.Why,
		Steps: x.steps(now, zone), Times: x.timeLines(now, zone), Calls: x.callLines(),
		Nobody:  ui.EmptyText{Title: "Everybody is accounted for", Text: "No name is open on the roll."},
		Log:     x.logLedger(zone),
		NoLog:   ui.EmptyText{Title: "Nothing yet", Text: "No step has been taken and nobody has written anything."},
		NoteURL: x.path("/note"), Note: view.NewWatchNote(a),
		Links: []ui.ButtonText{{Label: "Hand-over sheet", URL: x.path("/hand-over")}},
	}
	p.Private = p.Private || x.secret != ""
	p.Live = view.LiveText{URL: x.path("/stream"), Clock: format.ClockSeconds(now, zone)}
	if x.secret == "" {
		s.addLinks(&p, r, x)
	}
	if p.Emergency != "" {
		p.Calls = append([]format.Line{{Label: "Emergency number", Value: p.Emergency, URL: "tel:" + p.Emergency,
			Note: "Say where first."}}, p.Calls...)
	}
	x.addMissing(&p)
	x.addNow(&p, phase, now, zone)
	x.addWarnings(&p)
	p.MedicalCards = s.missingCards(r, x)
	if phase == watch.Distress && p.Emergency != "" {
		p.Ring = ui.ButtonText{Label: "Call " + p.Emergency, Kind: ui.ButtonGrave, URL: "tel:" + p.Emergency}
	}
	x.addBackByPhone(&p, a)
	for _, q := range view.QuickNotes() {
		p.Quick = append(p.Quick, ui.ButtonText{Label: q, Name: "note", Value: q})
	}
	return p
}

// addLinks adds links for a viewer who did not come by an alarm link.
func (s *Handlers) addLinks(p *view.WatchPage, r *http.Request, x watchData) {
	if s.May(r, account.TakeRoll) {
		p.Links = append(p.Links, ui.ButtonText{Label: "Roll", Kind: ui.ButtonQuiet, URL: paths.Roll(x.Hike.ID)})
	}
	if s.May(r, account.SeeBoard) {
		p.Links = append(p.Links, ui.ButtonText{Label: "Board", Kind: ui.ButtonQuiet, URL: "/board"})
	}
	if !s.May(r, account.KeepWatch) {
		p.NoteURL = ""
	}
}

// phaseMeaning explains a phase, also that of a party without a plan.
func phaseMeaning(c watch.Case, phase watch.Phase) string {
	if !c.Promised {
		return "No plan was made, so no clock can tell whether this party is late."
	}
	return phase.Meaning()
}

// addNow says what to do now, and who has taken the alarm.
func (x watchData) addNow(p *view.WatchPage, phase watch.Phase, now time.Time, zone *time.Location) {
	current, alarm := x.Current(now)
	switch {
	case alarm:
		p.Do = x.doNow(current, now, zone)
	case !x.Promised:
		p.Do = ui.NoteText{Kind: ui.NoteUnknown, Title: "No clock runs",
			Text: "Call the leader, agree on a return time, and write it down. Watch the clock yourself."}
	case phase == watch.Back:
		p.Do = ui.NoteText{Title: "Everybody is back by name",
			Text: "Stand the watch down: nobody asks about this party any more."}
		if p.NoteURL != "" {
			p.Answer = ui.ButtonText{Label: "Stand down", Kind: ui.ButtonMain, URL: x.standDownPath(),
				About: x.Hike.Title}
		}
	default:
		p.Do = ui.NoteText{Title: "Nothing to do now"}
		if next, more := x.Next(now); more {
			p.Do.Text = "Next: " + next.Name + " at " + format.Clock(next.At, zone) + ", " + kit.Away(next.At, now) +
				", if nothing is heard before."
		}
	}
	x.addHolder(p, phase, now, zone)
}

// doNow is what the gravest alarm asks for. Once the emergency number was called it says who called
// and what to do until help comes.
func (x watchData) doNow(r watch.Rung, now time.Time, zone *time.Location) ui.NoteText {
	if l, called := x.Called(now); called {
		return ui.NoteText{
			Kind: ui.NoteGrave, Title: "Help was called at " + format.Clock(l.At, zone) + " by " + l.By,
			Text: "Until they come: keep this phone free and charged, and answer every call. Have the " +
				"hand-over sheet open. Send somebody to the trailhead to meet them. Tell the land manager, " +
				"then the family contact. Write down every call. Stand down only when every name is " +
				"confirmed.",
		}
	}
	n := ui.NoteText{Kind: ui.NoteCaution, Title: "Now: " + r.Name, Text: r.Do}
	if r.Phase == watch.Distress {
		n.Kind = ui.NoteGrave
	}
	if r.About != "" && x.visibility.CanSee(privacy.KindName) {
		n.Title = format.SentenceWord(r.About)
	}
	if !r.Deadline.IsZero() {
		n.Text = "Call for help at " + format.Clock(r.Deadline, zone) + " at the latest, " +
			kit.Away(r.Deadline, now) + ". " + n.Text
	}
	return n
}

// addHolder says who has the alarm, and offers to take it or to pass it on.
func (x watchData) addHolder(p *view.WatchPage, phase watch.Phase, now time.Time, zone *time.Location) {
	if !phase.Alarm() {
		return
	}
	may := p.NoteURL != "" && x.mayTake
	if l, has := x.Answered(now); has {
		p.Answered = l.By + " has it, since " + format.Clock(l.At, zone) + "."
		p.Do.Text = strings.ReplaceAll(p.Do.Text, "First press \"I have it\". ", "")
		if may && l.By == x.name {
			p.PassURL = x.path("/pass")
			for _, o := range passTo() {
				p.Pass = append(p.Pass, ui.ButtonText{Label: "Pass on to " + string(o), Name: "to", Value: string(o)})
			}
		}
		return
	}
	if took := x.Takers(now); len(took) > 0 {
		p.Answered = took[0].By + " took the alarm at " + format.Clock(took[0].At, zone) +
			", but has gone silent since, or the alarm has become more serious. It needs an answer again."
	}
	if may {
		p.Answer = ui.ButtonText{Label: "I have it", Kind: ui.ButtonMain, URL: x.acknowledgePath(), Wide: true,
			About: x.Hike.Title}
	}
}

func (x watchData) acknowledgePath() string {
	if x.secret != "" {
		return x.path("/acknowledge")
	}
	return boardPath(x.Hike.ID) + "/acknowledge"
}

func (x watchData) standDownPath() string {
	if x.secret != "" {
		return x.path("/stand-down")
	}
	return boardPath(x.Hike.ID) + "/stand-down"
}

// steps shows the ladder: what was done, what to do now, and what comes next.
func (x watchData) steps(now time.Time, zone *time.Location) []view.Step {
	current, inAlarm := x.Current(now)
	next, more := x.Next(now)
	var list []view.Step
	for _, r := range x.Rungs() {
		if r.Idle && x.doneWords(r, zone) == "" {
			continue // it belongs to something that is over
		}
		st := view.Step{Text: stepName(r), When: format.Clock(r.At, zone), Done: x.doneWords(r, zone)}
		switch {
		case inAlarm && r.Step == current.Step:
			st.Current, st.Note = true, r.Do
		case more && r.Step == next.Step:
			st.Note = "Next, " + kit.Away(r.At, now) + ", if nothing is heard before. " + r.Do
		case st.Done == "" && !r.Quiet:
			st.Note = x.skipped(r, now)
		}
		list = append(list, st)
	}
	return list
}

// skipped says why a step was not taken, unless its time has only not come yet.
func (x watchData) skipped(r watch.Rung, now time.Time) string {
	_, action := x.Decide(r.Step, now)
	switch {
	case action == watch.Fire:
		return "Being sent now."
	case action == watch.End:
		return "Not needed."
	case r.Unless != "":
		if l, has := x.Answered(now); has && r.Unless == watch.StepWatch {
			return "Not needed: " + l.By + " has it."
		}
		return "Only if nobody has it by then."
	}
	return ""
}

func stepName(r watch.Rung) string {
	name := format.SentenceWord(r.Name)
	if r.Early() {
		name += ", for those who left early"
	}
	return name + " (" + format.Join(r.Who, ", ") + ")"
}

// doneWords says when a step was last carried out, how late, and what became of each message:
// a step that ran has not necessarily reached anybody.
func (x watchData) doneWords(r watch.Rung, zone *time.Location) string {
	var last watch.Logged
	var to []string
	for _, l := range x.Log {
		if l.Kind != watch.LogStep || l.Step != r.Step {
			continue
		}
		if l.Round != last.Round {
			to = nil
		}
		last, to = l, append(to, l.RecipientName()+" ("+x.reached(l)+")")
	}
	if last.Kind == "" || !last.Due.Equal(r.At) {
		return ""
	}
	words := "Sent " + format.Clock(last.At, zone) + ": " + format.NamesShort(to)
	if last.LateBy >= time.Minute {
		words += ", " + format.Duration(last.LateBy) + " late"
	}
	return words + "."
}

// reached says what became of one message. In a demo no message is really sent.
func (x watchData) reached(l watch.Logged) string {
	words := deliveryWords(l)
	if at := x.Opened(l); !at.IsZero() {
		words += ", opened " + format.Clock(at, x.Zone())
	}
	if x.demo {
		words = strings.ReplaceAll(words, "mail sent", "mail kept here, not sent")
	}
	return words
}

func (x watchData) timeLines(now time.Time, zone *time.Location) []format.Line {
	if !x.Promised {
		return []format.Line{{Label: "Planned start", Value: format.Moment(x.Hike.Start, zone)},
			{Label: "Return", Note: "No plan: expected return, watch and call time are not known."}}
	}
	t := x.Times
	left := format.FactLine("Left", format.FactStart, t.Start, zone)
	if !t.DepartureConfirmed {
		left = format.FactLine("Planned start", format.FactStart, t.Start, zone).
			With("Departure not confirmed: nobody has reported it. The times count from here.")
	}
	lines := []format.Line{left}
	if turn := kit.TurnLine(x.Case.Clocks(), zone); turn.Value != "" {
		lines = append(lines, turn)
	}
	lines = append(lines,
		format.FactLine("Likely return", format.FactExpected, t.Expected, zone).With(kit.Away(t.Expected, now)),
		format.FactLine("Watch time", format.FactWatch, t.Watch, zone).With(kit.Away(t.Watch, now)),
		format.FactLine("Call time", format.FactCall, t.Call, zone).With(kit.Away(t.Call, now)))
	lines = append(lines, x.alarmLines(zone)...)
	lines = append(lines, x.outlookLines(now, zone)...)
	if d := x.State.Delay; d > 0 {
		lines = append(lines, format.Line{Label: "Reported delay", Value: format.Duration(d), Note: "counted in"})
	}
	if last := x.State.LastThunder(); !last.IsZero() && !x.State.AllAccounted {
		lines = append(lines, format.Line{Label: "Thunder", Value: "last heard " + format.Clock(last, zone),
			Note: "The group waits until " + format.Clock(x.State.ResumeAt(), zone) +
				" at least. Watch and call times do not change unless staff report a delay."})
	}
	for _, l := range x.Promise.Limits() {
		lines = append(lines, format.Line{Label: format.SentenceWord(l.Name),
			Value: format.Clock(l.At, zone), Note: kit.Away(l.At, now) + "; never moves later"})
	}
	if c, ok := x.State.LastCount(); ok {
		text, _ := countWords(&c, zone)
		lines = append(lines, format.Line{Label: "Last count", Value: text})
	}
	if !x.State.LastHeard.IsZero() {
		lines = append(lines, format.Line{Label: "Last heard", Value: format.Clock(x.State.LastHeard, zone),
			Note: kit.Away(x.State.LastHeard, now)})
	}
	return lines
}

// outlookLines show the estimate of the return from the latest count, beside the times that
// people were told, and how likely the silence is on an ordinary walk.
func (x watchData) outlookLines(now time.Time, zone *time.Location) []format.Line {
	o := watch.CurrentEstimate(x.Promise, x.State, now)
	if !o.Known() || x.State.AllAccounted || now.Before(x.Times.Start) {
		return nil
	}
	var lines []format.Line
	if c := o.From; c != nil {
		note := "Likely " + format.Clock(o.Likely, zone) + ", by the count at " + c.Place + ", " +
			format.Clock(c.At, zone) + ". It moves no watch time."
		if concern := o.Concern(x.Times, now); concern != "" {
			note = concern + " " + note
		}
		lines = append(lines, format.Line{Label: "Return at their own pace",
			Value: format.ClockRange(o.Early, o.Late, zone), Note: note})
	}
	return append(lines, format.Line{Label: "Ordinary walks still out",
		Value: format.Percent(o.StillNormal(now).Percent()),
		Note:  "of walks like this one, at this time"})
}

// callLines lists the numbers to call, those on the trail first.
func (x watchData) callLines() []format.Line {
	var lines []format.Line
	add := func(label, name, phone string) {
		switch {
		case name == "":
			lines = append(lines, format.Line{Label: label, Note: "Nobody is named."})
		case phone == "":
			lines = append(lines, format.Line{Label: label, Value: name, Note: "No number is known."})
		default:
			lines = append(lines, format.Line{Label: label, Value: name + ", " + phone, URL: "tel:" + phone})
		}
	}
	for _, m := range x.Hike.Staff {
		add(format.SentenceWord(string(m.Role)), m.Name, m.Phone)
		if line, shown := x.familyLine(m); shown {
			lines = append(lines, line)
		}
	}
	add("On call", x.Hike.OnCall.Name, x.Hike.OnCall.Phone)
	add("Deputy", x.Hike.Deputy.Name, x.Hike.Deputy.Phone)
	if m := x.Data.Trail.Manager; m != "" {
		lines = append(lines, format.Line{Label: "Land manager", Value: m})
	}
	return lines
}
