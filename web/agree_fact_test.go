package web_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/PuerkitoBio/goquery"

	"saltbush/internal/format"
	"saltbush/internal/watch"
)

// The facts that only texts tell: those of format and these.
const (
	factLate  = "late"  // the end of the time of return that people are told
	factAsk   = "ask"   // when on-call starts asking, about the party or in an alarm
	factHelp  = "help"  // when help is called, for the party or in an alarm
	factCar   = "car"   // when those who left early should be at their car
	factSince = "since" // since when somebody is missing
	factNext  = "next"  // what the next count should give
)

// factsOf are the facts of a case as surfaces may write them.
func factsOf(c watch.Case, now time.Time) map[string][]string {
	zone, k := c.Hike.Start.Location(), c.Clocks()
	at := func(times ...time.Time) (list []string) {
		for _, t := range times {
			list = append(list, format.Clock(t, zone), format.Moment(t, zone))
		}
		return list
	}
	facts := map[string][]string{
		format.FactStart: at(k.Start), format.FactExpected: at(k.Expected), format.FactWatch: at(k.Watch),
		format.FactLatest: at(k.Latest), format.FactCall: at(k.Call), format.FactTurn: at(k.Turn),
		format.FactOff: at(k.Off),
		format.FactOut: {fmt.Sprint(len(c.State.OnTrail()) + c.State.Unnamed)}, format.FactPhase: {phaseWord(c, now)},
		factLate: at(k.Latest), factAsk: at(k.Watch), factHelp: at(k.Call), factNext: {fmt.Sprint(c.State.Expected)},
	}
	if c.State.Departed.IsZero() {
		facts[format.FactOut] = []string{"not known: departure not reported"}
	}
	for _, a := range c.Alarms() {
		facts[factHelp] = append(facts[factHelp], at(a.Call)...)
		facts[factCar] = append(facts[factCar], at(a.Watch)...)
		facts[factAsk] = append(facts[factAsk], at(a.Watch)...)
		facts[factSince] = append(facts[factSince], at(a.Began)...)
	}
	return facts
}

// phaseWord is the phase on the board. What is not known has no word of its own.
func phaseWord(c watch.Case, now time.Time) string {
	if phase := c.Phase(now); phase != watch.Unconfirmed {
		return string(phase)
	}
	return format.Unknown + " " + string(watch.Unconfirmed)
}

// wrongMarks lists the marked facts of a page that differ from the case, and adds to seen which
// there are.
func wrongMarks(part *goquery.Selection, c watch.Case, now time.Time, seen map[string]int) []string {
	facts := factsOf(c, now)
	var wrong []string
	part.Find("[data-fact]").Each(func(_ int, mark *goquery.Selection) {
		fact, got := mark.AttrOr("data-fact", ""), oneLine(mark.Text())
		seen[fact]++
		if !slices.ContainsFunc(facts[fact], func(want string) bool { return strings.EqualFold(got, want) }) {
			wrong = append(wrong, fmt.Sprintf("%s is %q, and %q by the case", fact, got, facts[fact]))
		}
	})
	return wrong
}

// saying is a way in which texts tell facts of a case.
type saying struct {
	has   string // a part of it
	words string // the pattern, with one group for each fact
	facts []string
}

// A time as texts write it.
const clockPattern = `((?:[A-Z][a-z]{2} \d{1,2} [A-Z][a-z]{2}, )?\d\d:\d\d)`

// sayings are the labeled lines and sentences of mails, papers and pages. An @ stands for a time.
func sayings() []saying {
	return []saying{
		{"t: ", `\b(?:Left|Planned start): @`, []string{format.FactStart}},
		{"Likely return: ", `\bLikely return: @`, []string{format.FactExpected}},
		{"Watch time: ", `\bWatch time: @`, []string{format.FactWatch}},
		{"Call time: ", `\bCall time: @`, []string{format.FactCall}},
		{", likely return (", `@, likely return \(`, []string{format.FactExpected}},
		{", start asking (", `@, start asking \(`, []string{format.FactWatch}},
		{", call for help (", `@, call for help \(`, []string{format.FactCall}},
		{"ack between ", `\b[Bb]ack between @ and @`, []string{format.FactExpected, factLate}},
		{
			"Back at the trailhead: ", `\bBack at the trailhead: between @ and @`,
			[]string{format.FactExpected, factLate},
		},
		{"Back: between ", `\bBack: between @ and @, no longer`, []string{format.FactExpected, factLate}},
		{", back ", `, back @ to @`, []string{format.FactExpected, factLate}},
		{"Back: ", `\bBack: @ to @`, []string{format.FactExpected, factLate}},
		{"Promised back by ", `\bPromised back by @`, []string{format.FactLatest}},
		{"the watch time is ", `\bthe watch time is @`, []string{format.FactWatch}},
		{"We turn back at: ", `\bWe turn back at: @`, []string{format.FactTurn}},
		{"start asking", `\bstart asking(?: at)? @`, []string{factAsk}},
		{"all for help", `\b[Cc]all for help(?: at)? @`, []string{factHelp}},
		{"t the car by ", `\b[Aa]t the car by @`, []string{factCar}},
		{" missing since ", `\b(?:is|are) missing since @`, []string{factSince}},
		{"Missing since ", `\bMissing since @`, []string{factSince}},
		{"The next count should give ", `\bThe next count should give (\d+)`, []string{factNext}},
	}
}

var sayingPatterns = func() map[string]*regexp.Regexp {
	list := map[string]*regexp.Regexp{}
	for _, s := range sayings() {
		list[s.words] = regexp.MustCompile(strings.ReplaceAll(s.words, "@", clockPattern))
	}
	return list
}()

// wrongWords lists what a text says otherwise than the case, and adds to seen which sayings it has.
func wrongWords(text string, c watch.Case, now time.Time, seen map[string]int) []string {
	text = oneLine(text)
	facts := factsOf(c, now)
	var wrong []string
	for _, s := range sayings() {
		if !strings.Contains(text, s.has) { // quicker than the pattern
			continue
		}
		for _, found := range sayingPatterns[s.words].FindAllStringSubmatch(text, -1) {
			seen[s.words]++
			for i, fact := range s.facts {
				if !slices.Contains(facts[fact], found[i+1]) {
					wrong = append(wrong, fmt.Sprintf("%q, but %s is %q by the case", found[0], fact, facts[fact]))
				}
			}
		}
	}
	return append(wrong, wrongAlarms(text, c, seen)...)
}

var helpAt = regexp.MustCompile(`^.{0,90}?[Cc]all for help(?: at)? ` + clockPattern)

// wrongAlarms lists the alarms of a text whose call for help is not that of the alarm itself.
func wrongAlarms(text string, c watch.Case, seen map[string]int) []string {
	var wrong []string
	for _, a := range c.Alarms() {
		if !a.Running() {
			continue
		}
		zone := c.Hike.Start.Location()
		for _, rest := range strings.Split(text, format.SentenceWord(a.About))[1:] {
			if found := helpAt.FindStringSubmatch(rest); found != nil {
				seen["call for help of an alarm"]++
				if found[1] != format.Clock(a.Call, zone) {
					wrong = append(wrong, fmt.Sprintf("%s: call for help at %s, and %s by the case",
						a.About, found[1], format.Clock(a.Call, zone)))
				}
			}
		}
	}
	return wrong
}

// missingNames are those whom a search is open for.
func missingNames(c watch.Case) []string {
	search, open := c.State.Searching()
	if !open {
		return nil
	}
	ids, _ := search.Open()
	return c.State.Names(ids)
}

// unnamed lists who is missing and is not named in a text.
func unnamed(text string, c watch.Case, seen map[string]int) []string {
	var wrong []string
	for _, name := range missingNames(c) {
		seen["missing names"]++
		if !strings.Contains(text, name) {
			wrong = append(wrong, name+", who is missing, is not named")
		}
	}
	return wrong
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
