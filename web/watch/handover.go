package watch

import (
	"cmp"
	"fmt"
	"net/http"
	"strings"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

func (s *Handlers) handOverPage(r *http.Request, x watchData) view.HandOverPage {
	now, zone := s.Now(), x.Zone()
	phase := x.Phase(now)
	p := view.HandOverPage{
		Page: s.Page(r, "Hand-over of "+x.Hike.Title, "Board"),
		Over: x.Case.Trail + ", " + format.Day(x.Hike.Start, zone), Name: x.Hike.Title,
		Made: "As of " + format.Moment(now, zone) + " by the clock of the trailhead.", BackURL: x.path(""),
		Opening: x.opening(),
	}
	p.Private = x.secret != ""
	if p.Emergency != "" {
		p.Ring = ui.ButtonText{Label: "Ring " + p.Emergency, Kind: ui.ButtonGrave, URL: "tel:" + p.Emergency}
	}
	facts := x.facts(s.UnitsOf(r), phase)
	if x.visibility.CanSee(privacy.KindAction) {
		facts.Details = x.details(s.ActionLines(r, x.Hike.ID))
	} else {
		facts.Details = x.details(nil)
		p.Closed = x.detailsClosed()
	}
	for _, i := range watch.HandOver(x.Names(), facts, x.visibleState()) {
		item := view.HandOverItem{Heading: i.Heading}
		if !i.Known() || i.Number >= firstAboutPeople && i.Number <= lastAboutPeople {
			item.Ask = question(i.Number)
		}
		for _, e := range i.Entries {
			line := view.HandOverLine{Label: e.Label, Text: e.Text, URL: phoneLink(e.Text)}
			if e.Where != nil {
				line.Text = format.Position(*e.Where) + " (" + e.Text + ")"
			}
			if !e.At.IsZero() {
				line.When = format.Clock(e.At, zone)
			}
			item.Lines = mergeSame(item.Lines, line)
		}
		p.Items = append(p.Items, item)
	}
	return p
}

// House judgement: fewer digits are no number to ring.
const minDigits = 7

// ringing is the link that rings the number at the end of a text, "" where there is none.
func phoneLink(text string) string {
	at := strings.LastIndex(text, ", ")
	if at < 0 || strings.Trim(text[at+2:], "+0123456789 -()") != "" {
		return ""
	}
	number := strings.Map(func(r rune) rune {
		if r == '+' || r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, text[at:])
	if len(number) < minDigits {
		return ""
	}
	return "tel:" + number
}

// detailsClosed says when the viewer reads more than is shown.
func (x watchData) detailsClosed() string {
	if x.visibility.Window.Alarm {
		return "What is to be done for each of them opens to whoever takes the alarm."
	}
	return "What is to be done for each of them opens to on-call when the watch time has passed or help is asked for."
}

// known is the roll as far as the viewer may see it: who may not read the names reads the
// counts alone.
func (x watchData) visibleState() party.State {
	s := x.State
	if !x.visibility.CanSee(privacy.KindName) {
		s.People, s.Searches, s.Unwell = nil, nil, nil
	}
	return s
}

// The questions about looks, health and load: a roll never answers them whole, so room to
// write is left under what is known.
const firstAboutPeople, lastAboutPeople = 5, 7

// together puts people of whom the same is to be said into one line, as one reads it out.
func mergeSame(lines []view.HandOverLine, l view.HandOverLine) []view.HandOverLine {
	if n := len(lines); n > 0 && lines[n-1].Text == l.Text && lines[n-1].When == l.When && lines[n-1].Label != l.Label {
		lines[n-1].Label += ", " + l.Label
		return lines
	}
	return append(lines, l)
}

// opening is the first sentence to say: who is missing out of how many.
func (x watchData) opening() string {
	missing := len(x.State.MissingPersons()) + x.State.Unnamed
	if missing == 0 {
		return "Everybody is accounted for by name. There is nobody to hand over."
	}
	return fmt.Sprintf("Say first: a guided walking group on %s is overdue or asks for help. %s not accounted for. "+
		"The place comes next.",
		x.Case.Trail, format.Count(missing, "person is", "people are"))
}

// facts are what the hike, the trail and the log know.
func (x watchData) facts(u format.System, phase watch.Phase) watch.Facts {
	t := x.Data.Trail
	f := watch.Facts{
		Trail: t.Name, Access: t.Meeting, Plan: x.planWords(u), Weather: x.weatherWords(u), Done: x.logWordsSoFar(),
		Family:   x.families(),
		CallBack: x.callBack(), What: x.happened(phase), Cars: x.carWords(),
	}
	if t.Manager != "" {
		f.Access = strings.TrimSpace(f.Access + " Land manager: " + t.Manager + ".")
	}
	along, sure := x.lastAlong()
	if len(t.Profile.Samples) > 0 {
		at := t.Profile.SampleAt(along).At
		f.Where, f.Sure = &at, sure
	}
	f.Nearest = nearest(t, along, u)
	return f
}

// lastAlong is how far along the track those missing were last agreed on, and how sure
// that is.
func (x watchData) lastAlong() (unit.Length, string) {
	var last party.Sighting
	for _, p := range x.State.MissingPersons() {
		if p.Last.At.After(last.At) {
			last = p.Last
		}
	}
	along := last.Along
	for _, p := range x.Data.Trail.Points {
		if along == 0 && p.Name == last.Place {
			along = p.Along
		}
	}
	if last.At.IsZero() || along == 0 && last.Place != "trailhead" {
		return 0, "this is the trailhead; where they are is not known"
	}
	return along, "where they were last agreed on at " + format.Clock(last.At, x.Zone()) + "; they have moved since"
}

// House judgement: a count is taken within visibility of its point.
const atThePoint = 100 * unit.Metre

func nearest(t trail.Trail, along unit.Length, u format.System) string {
	best, off := "", unit.Length(0)
	for _, p := range t.Points {
		if d := max(p.Along-along, along-p.Along); best == "" || d < off {
			best, off = fmt.Sprintf("%s (%s)", p.Name, p.Kind), d
		}
	}
	if best == "" {
		return ""
	}
	if off < atThePoint {
		return best + ", there"
	}
	return best + ", " + format.Length(off, u) + " away along the trail"
}

func (x watchData) planWords(u format.System) string {
	p := x.Data.Trail.Profile
	words := fmt.Sprintf("%s, %s, %s of climb, start %s", p.Shape, format.Length(p.Length, u),
		format.Height(p.Ascent, u), format.Clock(x.Hike.Start, x.Zone()))
	if x.Promised {
		words += ", back " + format.ClockRange(x.Times.Expected, x.Times.Watch, x.Zone())
	}
	return words
}

// lightWords says the light as it is now: before dawn it is dark already.
func (x watchData) lightWords() string {
	if x.Plan != nil && x.at.Before(x.Plan.Sun.CivilDawn.Time) {
		return "dark now, light from " + format.Clock(x.Plan.Sun.CivilDawn.Time, x.Zone())
	}
	if x.at.After(x.Promise.Dusk) {
		return "dark since " + format.Clock(x.Promise.Dusk, x.Zone())
	}
	return "dark from " + format.Clock(x.Promise.Dusk, x.Zone())
}

func (x watchData) weatherWords(u format.System) string {
	var parts []string
	if f := x.Hike.Forecast; f != nil {
		parts = append(parts, fmt.Sprintf("forecast %s to %s, wind %s",
			format.Temperature(f.Low, u), format.Temperature(f.High, u), format.Speed(f.Wind, u)))
	}
	if !x.Promise.Dusk.IsZero() {
		parts = append(parts, x.lightWords())
	}
	if !x.Promise.WaterBy.IsZero() {
		parts = append(parts, "planned water ends "+format.Clock(x.Promise.WaterBy, x.Zone()))
	}
	return strings.Join(parts, "; ")
}

// carWords are the cars that have not gone, with who came in them.
func (x watchData) carWords() string {
	if !x.visibility.CanSee(privacy.KindPlate) {
		return ""
	}
	var parts []string
	for _, c := range x.State.OpenCars() {
		text := c.Plate
		if len(c.Owners) > 0 && x.visibility.CanSee(privacy.KindName) {
			text += " (" + strings.Join(c.Owners, ", ") + ")"
		}
		parts = append(parts, x.parked.Where(c.Plate, text))
	}
	return strings.Join(append(parts, x.parked.Staff...), "; ")
}

func (x watchData) callBack() []string {
	var list []string
	for _, l := range x.Takers(x.at) {
		if phone := x.phoneOf(l.By); phone != "" {
			list = append(list, l.By+" (has it), "+phone)
		} else {
			list = append(list, l.By+" (has it): say your number")
		}
	}
	for _, c := range []struct{ who, name, phone string }{{"on call", x.Hike.OnCall.Name, x.Hike.OnCall.Phone},
		{"deputy", x.Hike.Deputy.Name, x.Hike.Deputy.Phone}} {
		if c.phone != "" && !x.Took(c.name, x.at) {
			list = append(list, c.name+" ("+c.who+"), "+c.phone)
		}
	}
	for _, m := range x.Hike.Staff {
		if m.Phone != "" {
			list = append(list, m.Name+" ("+string(m.Role)+", on the trail), "+m.Phone)
		}
	}
	return list
}

// phoneOf is the number of somebody who took the alarm, as the hike has it.
func (x watchData) phoneOf(name string) string {
	for _, c := range []team.Contact{x.Hike.OnCall, x.Hike.Deputy} {
		if text.Same(c.Name, name) {
			return c.Phone
		}
	}
	for _, m := range x.Hike.Staff {
		if text.Same(m.Name, name) {
			return m.Phone
		}
	}
	return ""
}

func (x watchData) happened(phase watch.Phase) string {
	if !phase.Alarm() || !x.Promised {
		return ""
	}
	words := "Promised back by " + format.Clock(x.Times.Watch, x.Zone())
	if x.State.LastHeard.IsZero() {
		return words + "; nothing was heard since the plan was made."
	}
	return words + "; last heard " + format.Clock(x.State.LastHeard, x.Zone()) + "."
}

// logWordsSoFar tells the log in one breath, in the order of time.
func (x watchData) logWordsSoFar() string {
	var parts []string
	for _, e := range x.Log {
		at := format.Clock(e.At, x.Zone()) + " "
		switch e.Kind {
		case watch.LogAcknowledged:
			parts = append(parts, at+e.By+" took over")
		case watch.LogNote:
			parts = append(parts, at+e.By+": "+e.Note)
		}
	}
	return strings.Join(parts, "; ")
}

// House judgement: for more names than this the list of contacts is read off the watch.
const contactsRead = 4

func (x watchData) families() string {
	if !x.visibility.CanSee(privacy.KindContact) {
		return ""
	}
	var parts []string
	for _, p := range x.State.MissingPersons() {
		if j, ok := x.joined(p.ID); ok && j.Contact != "" {
			parts = append(parts, p.Name+": "+j.Contact)
		}
		for _, s := range x.SignUps {
			if s.ID == string(p.ID) {
				parts = append(parts, p.Name+": "+s.EmergencyName+" "+s.EmergencyPhone)
			}
		}
	}
	if len(parts) > contactsRead {
		return fmt.Sprintf("not noted here. Contacts of %d people stand on the watch page.", len(parts))
	}
	if len(parts) == 0 {
		return ""
	}
	return "not noted here. Contacts: " + strings.Join(parts, "; ")
}

// details are what those missing told us when they signed up, as far as the viewer may see
// it.
func (x watchData) details(actions map[string]card.Line) map[party.PersonID]watch.Detail {
	all := map[party.PersonID]watch.Detail{}
	for _, s := range x.SignUps {
		d := watch.Detail{}
		if x.visibility.CanSee(privacy.KindName) {
			d.Carries = fmt.Sprintf("said %.1f L of water", s.Water.Litres())
		}
		if x.visibility.CanSee(privacy.KindScreening) {
			d.Experience = "longest walk lately: " + s.LongestWalk
		}
		if s.Minor && x.visibility.CanSee(privacy.KindName) {
			d.Looks = "under 18"
		}
		if s.Minor && x.visibility.CanSee(privacy.KindContact) {
			d.Looks = "under 18, guardian " + s.Guardian + " " + s.GuardianPhone
		}
		if s.Carded && x.visibility.CanSee(privacy.KindAction) {
			d.Health = healthWords(actions[s.ID])
		}
		all[party.PersonID(s.ID)] = d
	}
	return all
}

// healthWords reads out an action line, or that there is a card behind it.
func healthWords(l card.Line) string {
	switch {
	case l.Unread != nil:
		return "has a medical card that cannot be read here: its key is missing"
	case l.Text == "":
		return "has a medical card; on-call can open it"
	}
	return "asked of us: " + l.Text
}

// ask is what stands where nothing is known, for the person who fills it in by hand.
func question(number int) string {
	questions := []string{
		"", "Which position, which junction is nearest, and how sure is that?",
		"Two numbers that will be answered, and the charge of the phones.",
		"What happened? Who is missing, how many, hurt how?",
		"When, where and by whom last seen, and which way were they going?",
		"Age, sex, height, build, hair; colours of clothing, hat and pack; soles; glasses.",
		"Conscious, breathing, walking, confused? Medicine needed by when?",
		"Water left, food, lamp, phone and its carrier, whistle, map, layers.",
		"How experienced, what was the plan, where could they turn wrong?",
		"State of mind, hearing, language, do they answer to their name?",
		"Weather and light now; the road in, a gate, a place to land.",
		"How many are the others, where, who leads them, how much water?",
		"Which cars are there, where, who has the keys?",
		"Who has looked where? Keep people off the tracks.", "Has the family been told, and by whom?",
	}
	if number >= len(questions) {
		return ""
	}
	return cmp.Or(questions[number], "Not known.")
}
