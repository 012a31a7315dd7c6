package roll

import (
	"encoding/json"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/roll"
	"saltbush/web/roll/view"
)

// offlinePage is what a phone needs to go on by itself: who records, what the server knew
// when the page was made, and the rules by which one record moves one person. The rules
// come from the roll, so that they are not written a second time in another language.
type offlinePage struct {
	URL  string `json:"url"`
	By   string `json:"by"`
	Zone string `json:"zone"`
	AsOf string `json:"as_of"`
	Open bool   `json:"open"`
	Part string `json:"part"`
	// Known are the ids of this person's records that the page already shows.
	Known    []party.EventID `json:"known"`
	Departed bool            `json:"departed"`
	Expected int             `json:"expected"`
	OnCall   bool            `json:"on_call"`
	Fewest   int             `json:"fewest_staff"`
	// Kinds are the words on buttons and what they record; Parts the part of the page that
	// shows it.
	Kinds map[string]party.Kind `json:"kinds"`
	Parts map[party.Kind]string `json:"parts"`
	// Steps say where a record takes a person from where they are.
	Steps     map[party.Kind]map[party.Whereabouts]party.Whereabouts `json:"steps"`
	Accounted []party.Whereabouts                                    `json:"accounted"`
	// People, Parties and Search are what the rows do not show; Urgent the signs that are an
	// emergency, BackCheck the step whose failing calls for help, Ratio of walkers to staff.
	People    map[party.PersonID]offlinePerson `json:"people"`
	Parties   []offlineParty                   `json:"parties"`
	Search    *offlineSearch                   `json:"search"`
	Urgent    []party.Sign                     `json:"urgent"`
	Hearers   []string                         `json:"hearers"`
	BackCheck int                              `json:"back_check"`
	// CheckMinutes is how long a back-check may take before help is called all the same.
	CheckMinutes int `json:"check_minutes"`
	Ratio        int `json:"ratio"`
}

func (f rollFolded) offline(by string, now time.Time) *view.RollOffline {
	h := f.rec.Hike
	p := offlinePage{
		URL: paths.Roll(h.ID) + "/events", By: by, Zone: f.Zone().String(), AsOf: format.Moment(now, f.Zone()), Open: roll.Open(h) == nil,
		Part: f.part, Known: []party.EventID{}, Departed: !f.state.Departed.IsZero(), Expected: f.state.Expected,
		OnCall: h.OnCall.Name != "", Fewest: h.Rules().FewestStaff, Kinds: kindsOfForm(), Steps: steps(),
		Parts: map[party.Kind]string{}, Accounted: accounted(),
		People: f.offlinePeople(), Parties: f.offlineParties(), Search: f.offlineSearch(),
		Hearers: party.NotifyOrder(), BackCheck: party.BackCheck, CheckMinutes: int(party.BackCheckFor / time.Minute), Ratio: h.Rules().Ratio,
	}
	urgent, cards := careCards()
	p.Urgent = urgent
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
	data, err := json.Marshal(p)
	if err != nil {
		return nil // texts and numbers alone: without it the page still works with signal
	}
	return &view.RollOffline{Data: string(data), By: by, Stamps: stampsOfWhere(), Starts: actsOf(startButtons), Backs: actsOf(backButtons), Cards: cards}
}

func accounted() []party.Whereabouts {
	var list []party.Whereabouts
	for _, w := range party.AllWhereabouts() {
		if w.Accounted() {
			list = append(list, w)
		}
	}
	return list
}

// steps is the table of party.Next for the kinds that the forms record by name.
func steps() map[party.Kind]map[party.Whereabouts]party.Whereabouts {
	table := map[party.Kind]map[party.Whereabouts]party.Whereabouts{}
	for _, k := range []party.Kind{party.KindHere, party.KindAbsent, party.KindTurnedAway, party.KindDeparted, party.KindLeftEarly, party.KindAtCar, party.KindBack} {
		table[k] = map[party.Whereabouts]party.Whereabouts{}
		for _, from := range party.AllWhereabouts() {
			table[k][from] = party.Next(k, from)
		}
	}
	return table
}

func stampsOfWhere() []view.RollStamp {
	var list []view.RollStamp
	for _, w := range party.AllWhereabouts() {
		if w != party.WhereExpected {
			list = append(list, view.RollStamp{Where: string(w), Stamp: whereStamp(w)})
		}
	}
	return list
}

// actsOf lists the buttons of a row for every case in which it has some.
func actsOf(of buttonsOf) []view.RollAct {
	var list []view.RollAct
	for _, w := range party.AllWhereabouts() {
		for _, departed := range []bool{false, true} {
			if buttons := of(w, departed); len(buttons) > 0 {
				list = append(list, view.RollAct{Where: string(w), Departed: departed, Buttons: about(buttons, "-")})
			}
		}
	}
	return list
}
