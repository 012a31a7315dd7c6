package watch

import (
	"cmp"
	"fmt"
	"net/http"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
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
	}
	p.Private = x.secret != ""
	if x.secret == "" && s.May(r, account.TakeRoll) {
		p.AddURL = paths.Roll(x.Hike.ID) + "?part=help"
	}
	if p.Emergency != "" {
		p.Ring = ui.ButtonText{Label: "Call " + p.Emergency, Kind: ui.ButtonGrave, URL: "tel:" + p.Emergency}
	}
	facts := x.facts(s.UnitsOf(r), phase)
	p.Opening = x.opening(facts)
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
				at := *e.Where
				line.Text = fmt.Sprintf("%s; %s (%s)", format.Position(at), format.DegreesMinutes(at), e.Text)
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

// Our judgment: fewer digits are not a phone number.
const minDigits = 7

// phoneLink returns a link that calls the number at the end of a text, "" if there is none.
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

// detailsClosed says when the viewer will see more than is shown.
func (x watchData) detailsClosed() string {
	if x.visibility.Window.Alarm {
		return "What is to be done for each of them opens to whoever takes the alarm."
	}
	return "What is to be done for each of them opens to on-call when the watch time has passed or help is asked for."
}

// visibleState returns the roll as far as the viewer may see it. Without the right to see
// names only the counts are left.
func (x watchData) visibleState() party.State {
	s := x.State
	if !x.visibility.CanSee(privacy.KindName) {
		s.People, s.Searches, s.Unwell, s.Noted = nil, nil, nil, nil
	}
	return s
}

// The questions about looks, health and load. A roll never answers them completely, so the
// sheet leaves room to write under what is known.
const firstAboutPeople, lastAboutPeople = 5, 7

// mergeSame adds a line. If it says the same as the last one, about somebody else, both names
// go on one line, as one reads it out.
func mergeSame(lines []view.HandOverLine, l view.HandOverLine) []view.HandOverLine {
	if len(lines) == 0 {
		return append(lines, l)
	}
	last := &lines[len(lines)-1]
	if last.Text != l.Text || last.When != l.When || last.Label == l.Label {
		return append(lines, l)
	}
	last.Label += ", " + l.Label
	return lines
}

// leftEarly is how many people left early and are not confirmed at the car.
func (x watchData) leftEarly() int {
	n := 0
	for _, g := range x.State.Early {
		n += len(g.Open)
	}
	return n
}

// opening is what to say first: the place, then who needs help or how many are not accounted for.
func (x watchData) opening(f watch.Facts) string {
	where := "Say where first: " + x.Case.Trail
	if f.Where != nil {
		where += ", " + format.Position(*f.Where) + " (" + f.Sure + ")"
	}
	where += ". Then: "
	const help = "somebody in a guided hiking group needs help. "
	names := x.visibility.CanSee(privacy.KindName)
	if r, alarm := x.Current(x.at); alarm && r.Alarm != "" && names {
		words := fmt.Sprintf("%s%s%s. %s together with their leader.", where, help, format.SentenceWord(r.About),
			format.Count(x.State.Expected, "other is", "others are"))
		if n := x.leftEarly(); n > 0 {
			words += " " + format.Count(n, "more left early and is", "more left early and are") +
				" not confirmed at the car."
		}
		return words
	}
	if unwell := x.State.Emergencies(); len(unwell) > 0 && names {
		var who []string
		for _, u := range unwell {
			who = append(who, format.Join(x.State.Names(u.Open), ", ")+": "+u.SignWords())
		}
		return where + help + strings.Join(who, "; ") + "."
	}
	missing := len(x.State.MissingPersons()) + x.State.Unnamed
	if missing == 0 {
		return "Everybody is accounted for by name. There is nobody to hand over."
	}
	return fmt.Sprintf("%sa guided hiking group is overdue or asks for help. %s not accounted for.", where,
		format.Count(missing, "person is", "people are"))
}

// question is what to ask for an item that is not known, for somebody who fills it in by
// hand.
func question(number int) string {
	questions := []string{
		"", "Which position, which junction is nearest, and how sure is that?",
		"Two numbers that will be answered, and the charge of the phones.",
		"What happened? Who is missing, how many, hurt how?",
		"When, where and by whom last seen, and which way were they going?",
		"Age, sex, height, build, hair; colors of clothing, hat and pack; soles; glasses.",
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
