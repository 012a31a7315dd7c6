package roll

import (
	"encoding/json"
	"time"

	"saltbush/internal/format"
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
	Known    []roll.EventID `json:"known"`
	Departed bool           `json:"departed"`
	Expected int            `json:"expected"`
	OnCall   bool           `json:"on_call"`
	Fewest   int            `json:"fewest_staff"`
	// Kinds are the words on buttons and what they record; Parts the part of the page that
	// shows it.
	Kinds map[string]roll.Kind `json:"kinds"`
	Parts map[roll.Kind]string `json:"parts"`
	// Steps say where a record takes a person from where they are.
	Steps     map[roll.Kind]map[roll.Whereabouts]roll.Whereabouts `json:"steps"`
	Accounted []roll.Whereabouts                                  `json:"accounted"`
	// People, Parties and Search are what the rows do not show; Urgent the signs that are an
	// emergency, BackCheck the step whose failing calls for help, Ratio of walkers to staff.
	People    map[roll.PersonID]offlinePerson `json:"people"`
	Parties   []offlineParty                  `json:"parties"`
	Search    *offlineSearch                  `json:"search"`
	Urgent    []roll.Sign                     `json:"urgent"`
	Hearers   []string                        `json:"hearers"`
	BackCheck int                             `json:"back_check"`
	// CheckMinutes is how long a back-check may take before help is called all the same.
	CheckMinutes int `json:"check_minutes"`
	Ratio        int `json:"ratio"`
}

func (f rollFolded) offline(by string, now time.Time) *view.RollOffline {
	h := f.rec.Hike
	p := offlinePage{
		URL: paths.Roll(h.ID) + "/events", By: by, Zone: f.Zone().String(), AsOf: format.Moment(now, f.Zone()), Open: roll.Open(h) == nil,
		Part: f.part, Known: []roll.EventID{}, Departed: !f.state.Departed.IsZero(), Expected: f.state.Expected,
		OnCall: h.OnCall.Name != "", Fewest: h.Rules().FewestStaff, Kinds: kindsOfForm(), Steps: steps(),
		Parts: map[roll.Kind]string{}, Accounted: accounted(),
		People: f.offlinePeople(), Parties: f.offlineParties(), Search: f.offlineSearch(),
		Hearers: roll.Hearers(), BackCheck: roll.BackCheck, CheckMinutes: int(roll.BackCheckFor / time.Minute), Ratio: h.Rules().Ratio,
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

func accounted() []roll.Whereabouts {
	var list []roll.Whereabouts
	for _, w := range roll.AllWhereabouts() {
		if w.Accounted() {
			list = append(list, w)
		}
	}
	return list
}

// steps is the table of roll.Next for the kinds that the forms record by name.
func steps() map[roll.Kind]map[roll.Whereabouts]roll.Whereabouts {
	table := map[roll.Kind]map[roll.Whereabouts]roll.Whereabouts{}
	for _, k := range []roll.Kind{roll.KindHere, roll.KindAbsent, roll.KindTurnedAway, roll.KindDeparted, roll.KindLeftEarly, roll.KindAtCar, roll.KindBack} {
		table[k] = map[roll.Whereabouts]roll.Whereabouts{}
		for _, from := range roll.AllWhereabouts() {
			table[k][from] = roll.Next(k, from)
		}
	}
	return table
}

func stampsOfWhere() []view.RollStamp {
	var list []view.RollStamp
	for _, w := range roll.AllWhereabouts() {
		if w != roll.WhereExpected {
			list = append(list, view.RollStamp{Where: string(w), Stamp: whereStamp(w)})
		}
	}
	return list
}

// actsOf lists the buttons of a row for every case in which it has some.
func actsOf(of buttonsOf) []view.RollAct {
	var list []view.RollAct
	for _, w := range roll.AllWhereabouts() {
		for _, departed := range []bool{false, true} {
			if buttons := of(w, departed); len(buttons) > 0 {
				list = append(list, view.RollAct{Where: string(w), Departed: departed, Buttons: about(buttons, "-")})
			}
		}
	}
	return list
}
