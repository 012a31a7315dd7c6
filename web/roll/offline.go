package roll

import (
	"encoding/json"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/phone"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/web/roll/view"
)

// offlinePage is what a phone needs to go on without signal: who records, and what the server's
// page was made from, as far as the viewer sees it. The phone folds it with its own records by the
// server's rules, which run there as a program.
type offlinePage struct {
	URL  string `json:"url"`
	By   string `json:"by"`
	Zone string `json:"zone"`
	AsOf string `json:"as_of"`
	Open bool   `json:"open"`
	Part string `json:"part"`
	// Departed means that the page was drawn for a party that has left.
	Departed bool `json:"departed"`
	// Kinds maps the words on buttons to what they record. Parts gives the part of the page
	// that shows a kind.
	Kinds map[string]party.Kind `json:"kinds"`
	Parts map[party.Kind]string `json:"parts"`

	Roster party.Roster  `json:"roster"`
	Terms  party.Terms   `json:"terms"`
	Events []party.Event `json:"events"`
	// Places are the positions of the trail's points, by name. BackCheck is the step whose failure
	// means calling for help.
	Places    map[string]offlinePlace `json:"places"`
	BackCheck int                     `json:"back_check"`
	// Case is what the phone's program is tried with.
	Case phone.Case `json:"case"`
}

// offlinePlace is a position in the two forms that rescuers ask for.
type offlinePlace struct {
	Decimal string `json:"decimal"`
	Minutes string `json:"minutes"`
}

// offline makes the data for the script, and the pieces that it puts into the page.
func (f foldedRoll) offline(by, emergency string, now time.Time) (*view.RollOffline, error) {
	page, err := f.offlinePage(by, now)
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(page)
	if err != nil {
		return nil, err
	}
	return &view.RollOffline{
		Data: string(data), By: by, Emergency: emergency, Stamps: whereStamps(), Grades: gradeStamps(),
		Starts: buttonCases(startButtons), Backs: buttonCases(backButtons),
	}, nil
}

func (f foldedRoll) offlinePage(by string, now time.Time) (offlinePage, error) {
	h := f.rec.Hike
	p := offlinePage{
		URL: paths.Roll(h.ID) + "/events", By: by, Zone: f.Zone().String(), AsOf: format.Moment(now, f.Zone()),
		Open: roll.Open(h) == nil, Part: f.part, Kinds: kindsOfForm(), Parts: map[party.Kind]string{},
		Departed: !f.state.Departed.IsZero(), Terms: f.rec.FullTerms(), Places: f.places(), BackCheck: party.BackCheck,
	}
	for _, k := range p.Kinds {
		if part := shownIn(k); part != "" {
			p.Parts[k] = part
		}
	}
	p.Roster, p.Events = f.visibleRecords()
	var err error
	p.Case, err = phone.KnownCase()
	return p, err
}

// visibleRecords returns the roster and the events with what the page shows the viewer, and no more.
func (f foldedRoll) visibleRecords() (party.Roster, []party.Event) {
	events := append([]party.Event{}, party.ForTheRoll(f.rec.Events)...) // a list where there is none yet
	roster := make(party.Roster, len(f.rec.Roster))
	copy(roster, f.rec.Roster)
	if !f.visibility.CanSee(privacy.KindPlate) {
		events = party.WithoutPlates(events)
		for i := range roster {
			roster[i].Plate = ""
		}
	}
	return roster, events
}

// places are the positions of the trail's points.
func (f foldedRoll) places() map[string]offlinePlace {
	by := map[string]offlinePlace{}
	for _, x := range f.Trail.Points {
		if len(f.Trail.Profile.Samples) == 0 {
			break
		}
		at := f.Trail.Profile.SampleAt(x.Along).At
		by[x.Name] = offlinePlace{Decimal: format.Position(at), Minutes: format.DegreesMinutes(at)}
	}
	return by
}

func gradeStamps() []view.RollStamp {
	var list []view.RollStamp
	for _, g := range []party.Grade{party.Block, party.NotKnown, party.Warn, party.Fine} {
		list = append(list, view.RollStamp{Where: string(g), Stamp: gradeStamp(g)})
	}
	return list
}

func whereStamps() []view.RollStamp {
	var list []view.RollStamp
	for _, w := range party.AllWhereabouts() {
		if w != party.WhereExpected {
			list = append(list, view.RollStamp{Where: string(w), Stamp: whereStamp(w)})
		}
	}
	return list
}

// buttonCases lists the buttons of a row for every case in which it has some.
func buttonCases(buttons buttonsFunc) []view.RollAct {
	var list []view.RollAct
	for _, w := range party.AllWhereabouts() {
		for _, departed := range []bool{false, true} {
			if b := buttons(w, departed); len(b) > 0 {
				list = append(list, view.RollAct{Where: string(w), Departed: departed, Buttons: about(b, "-")})
			}
		}
	}
	return list
}
