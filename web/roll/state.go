package roll

import (
	"time"

	"saltbush/internal/party"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// offlineSearch is what a phone needs of the search that the server knows.
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

// offlineParty is a party that the server knows: Number beyond its names counts people who
// are in it without a name.
type offlineParty struct {
	Name  string `json:"name"`
	Extra int    `json:"extra"`
}

// people says of each person what the rows do not show.
type offlinePerson struct {
	Party string `json:"party,omitempty"`
	Minor bool   `json:"minor,omitempty"`
	Acts  bool   `json:"acts,omitempty"`
}

func (f rollFolded) offlinePeople() map[party.PersonID]offlinePerson {
	by := make(map[party.PersonID]offlinePerson, len(f.state.People))
	for _, p := range f.state.People {
		by[p.ID] = offlinePerson{Party: p.Party, Minor: p.Minor, Acts: p.ActionLine || f.wasUnwell(p.ID)}
	}
	return by
}

func (f rollFolded) wasUnwell(id party.PersonID) bool {
	for _, u := range f.state.Unwell {
		for _, p := range u.Persons {
			if p == id {
				return true
			}
		}
	}
	return false
}

func (f rollFolded) offlineParties() []offlineParty {
	list := []offlineParty{}
	for _, p := range f.state.Parties {
		named := 0
		for _, x := range f.state.People {
			if x.Party == p.Name && x.Where == party.WhereOut {
				named++
			}
		}
		list = append(list, offlineParty{Name: p.Name, Extra: max(0, p.Expected-named)})
	}
	return list
}

func (f rollFolded) offlineSearch() *offlineSearch {
	n := len(f.state.Searches)
	if n == 0 || !f.state.Searches[n-1].Ended.IsZero() && f.state.Searches[n-1].NextToNotify() == "" {
		return nil
	}
	s := f.state.Searches[n-1]
	o := &offlineSearch{Began: s.Began, Persons: s.Persons, Number: s.Number, Factors: s.Factors, Steps: map[int]time.Time{}, Found: []party.PersonID{}, Told: []string{}}
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

// careCards are the two cards that a phone without signal shows by itself: whether a sign
// is an emergency is the roll's rule.
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

func careNote(c party.Care) ui.NoteText {
	n := ui.NoteText{Kind: ui.NoteCaution, Title: c.Title, Text: "-", Points: c.Do}
	if c.Emergency {
		n.Kind = ui.NoteGrave
	}
	return n
}
