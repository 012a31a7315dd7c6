package roll

import (
	"encoding/json"
	"slices"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/roll"
	"saltbush/web/roll/view"
)

// offlinePage is what a phone needs to go on without signal: who records, what the server
// knew when the page was made, and the rules by which an event moves a person. The rules
// come from package party, so that they are not written again in the script.
type offlinePage struct {
	URL  string `json:"url"`
	By   string `json:"by"`
	Zone string `json:"zone"`
	AsOf string `json:"as_of"`
	Open bool   `json:"open"`
	Part string `json:"part"`
	// Known are the IDs of the viewer's own events that the page already shows.
	Known    []party.EventID `json:"known"`
	Departed bool            `json:"departed"`
	Expected int             `json:"expected"`
	OnCall   bool            `json:"on_call"`
	Fewest   int             `json:"fewest_staff"`
	// Kinds maps the words on buttons to what they record. Parts gives the part of the page
	// that shows a kind.
	Kinds map[string]party.Kind `json:"kinds"`
	Parts map[party.Kind]string `json:"parts"`
	// Steps say where an event takes a person from where they are.
	Steps     map[party.Kind]map[party.Whereabouts]party.Whereabouts `json:"steps"`
	Accounted []party.Whereabouts                                    `json:"accounted"`
	// People, Parties and Search are what the rows do not show. Urgent are the signs of an
	// emergency, BackCheck is the step whose failure means calling for help, Ratio the walkers
	// to one staff member.
	People    map[party.PersonID]offlinePerson `json:"people"`
	Parties   []offlineParty                   `json:"parties"`
	Search    *offlineSearch                   `json:"search"`
	Urgent    []party.Sign                     `json:"urgent"`
	Hearers   []string                         `json:"hearers"`
	BackCheck int                              `json:"back_check"`
	// CheckMinutes is how long a back-check may take before help is called anyway.
	CheckMinutes int `json:"check_minutes"`
	Ratio        int `json:"ratio"`
}

// offlinePerson is what the rows do not show of a person.
type offlinePerson struct {
	Party string `json:"party,omitempty"`
	Minor bool   `json:"minor,omitempty"`
	// Acts means that the person is more at risk in a search.
	Acts bool `json:"acts,omitempty"`
}

// offlineParty is one group after a split. Extra is how many of its people are not named.
type offlineParty struct {
	Name  string `json:"name"`
	Extra int    `json:"extra"`
}

// offlineSearch is the search that the server knows of.
type offlineSearch struct {
	Began   time.Time         `json:"began"`
	Persons []party.PersonID  `json:"persons"`
	Number  int               `json:"number"`
	Factors []party.Factor    `json:"factors"`
	Steps   map[int]time.Time `json:"steps"`
	Failed  *time.Time        `json:"failed"`
	Found   []party.PersonID  `json:"found"`
	Told    []string          `json:"told"`
}

// offline makes the data for the script, and the pieces that it puts into the page.
func (f foldedRoll) offline(by string, now time.Time) *view.RollOffline {
	urgent, cards := careCards()
	data, err := json.Marshal(f.offlinePage(by, urgent, now))
	if err != nil {
		return nil // cannot happen with texts and numbers; the page still works with signal
	}
	return &view.RollOffline{
		Data: string(data), By: by, Stamps: whereStamps(),
		Starts: buttonCases(startButtons), Backs: buttonCases(backButtons), Cards: cards,
	}
}

func (f foldedRoll) offlinePage(by string, urgent []party.Sign, now time.Time) offlinePage {
	h := f.rec.Hike
	p := offlinePage{
		URL: paths.Roll(h.ID) + "/events", By: by, Zone: f.Zone().String(), AsOf: format.Moment(now, f.Zone()),
		Open: roll.Open(h) == nil, Part: f.part, Known: []party.EventID{},
		Departed: !f.state.Departed.IsZero(), Expected: f.state.Expected,
		OnCall: h.OnCall.Name != "", Fewest: h.Rules().FewestStaff, Ratio: h.Rules().Ratio,
		Kinds: kindsOfForm(), Parts: map[party.Kind]string{}, Steps: transitionTable(), Accounted: accounted(),
		People: f.offlinePeople(), Parties: f.offlineParties(), Search: f.offlineSearch(), Urgent: urgent,
		Hearers: party.NotifyOrder(), BackCheck: party.BackCheck,
		CheckMinutes: int(party.BackCheckFor / time.Minute),
	}
	for _, k := range p.Kinds {
		if part := shownIn(k); part != "" {
			p.Parts[k] = part
		}
	}
	for _, e := range f.rec.Events {
		if e.By == by {
			p.Known = append(p.Known, e.ID)
		}
	}
	return p
}

func accounted() []party.Whereabouts {
	return slices.DeleteFunc(party.AllWhereabouts(), func(w party.Whereabouts) bool { return !w.Accounted() })
}

// transitionTable lists party.Next for the kinds that the forms record by name.
func transitionTable() map[party.Kind]map[party.Whereabouts]party.Whereabouts {
	table := map[party.Kind]map[party.Whereabouts]party.Whereabouts{}
	for _, k := range []party.Kind{
		party.KindHere, party.KindAbsent, party.KindTurnedAway, party.KindDeparted, party.KindLeftEarly,
		party.KindAtCar, party.KindBack,
	} {
		table[k] = map[party.Whereabouts]party.Whereabouts{}
		for _, from := range party.AllWhereabouts() {
			table[k][from] = party.Next(k, from)
		}
	}
	return table
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

func (f foldedRoll) offlinePeople() map[party.PersonID]offlinePerson {
	by := make(map[party.PersonID]offlinePerson, len(f.state.People))
	for _, p := range f.state.People {
		by[p.ID] = offlinePerson{Party: p.Party, Minor: p.Minor, Acts: p.ActionLine || f.wasUnwell(p.ID)}
	}
	return by
}

func (f foldedRoll) wasUnwell(id party.PersonID) bool {
	return slices.ContainsFunc(f.state.Unwell, func(u party.Unwell) bool { return slices.Contains(u.Persons, id) })
}

func (f foldedRoll) offlineParties() []offlineParty {
	list := []offlineParty{}
	for _, g := range f.state.Parties {
		named := 0
		for _, x := range f.state.People {
			if x.Party == g.Name && x.Where == party.WhereOut {
				named++
			}
		}
		list = append(list, offlineParty{Name: g.Name, Extra: max(0, g.Expected-named)})
	}
	return list
}

func (f foldedRoll) offlineSearch() *offlineSearch {
	s, shown := f.lastSearch()
	if !shown {
		return nil
	}
	o := &offlineSearch{
		Began: s.Began, Persons: s.Persons, Number: s.Number, Factors: s.Factors,
		Steps: map[int]time.Time{}, Found: []party.PersonID{}, Told: []string{},
	}
	for _, t := range s.Steps {
		o.Steps[t.Step] = t.At
	}
	if !s.Failed.IsZero() {
		o.Failed = &s.Failed
	}
	for _, t := range s.Told {
		o.Told = append(o.Told, t.Who)
	}
	for _, x := range s.Found {
		o.Found = append(o.Found, x.Person)
	}
	return o
}

// careCards makes the card of each sign, for a phone without signal, and lists the signs
// that are an emergency.
func careCards() (urgent []party.Sign, cards []view.RollCareCard) {
	for _, s := range party.Signs() {
		c := party.CareFor([]party.Sign{s})
		if c.Emergency {
			urgent = append(urgent, s)
		}
		cards = append(cards, view.RollCareCard{Sign: string(s), Note: careNote(c)})
	}
	return urgent, cards
}
