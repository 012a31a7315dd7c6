package phone

import (
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Given is what a view is made from.
type Given struct {
	Roster party.Roster  `json:"roster"`
	Terms  party.Terms   `json:"terms"`
	Events []party.Event `json:"events"`
	Now    time.Time     `json:"now"`
}

// View is what a phone shows. All times are in UTC.
type View struct {
	// Headline is the large line: how many are here, or out. Leave is the text of the button to leave.
	Headline string   `json:"headline"`
	Leave    string   `json:"leave"`
	People   []Person `json:"people"`
	// Unmarked are the names without an answer, Missing those not accounted for.
	Unmarked     []string      `json:"unmarked,omitempty"`
	Missing      []string      `json:"missing,omitempty"`
	Departed     time.Time     `json:"departed,omitzero"`
	AllAccounted bool          `json:"all_accounted"`
	Sums         Sums          `json:"sums"`
	Flags        []Flag        `json:"flags"`
	Parties      []Party       `json:"parties"`
	Early        []Early       `json:"early,omitempty"`
	Counts       []Count       `json:"counts,omitempty"`
	LastAgreed   *Count        `json:"last_agreed,omitempty"`
	Search       *Search       `json:"search,omitempty"`
	Care         []Care        `json:"care,omitempty"`
	Full         Gate          `json:"full"`
	Short        Gate          `json:"short"`
	Newest       party.EventID `json:"newest,omitempty"` // what an undo takes back
	// Noted is what was written for rescuers.
	Noted []Noted `json:"noted,omitempty"`
	// Resume is when the party may go on after thunder, zero if it need not wait.
	Resume time.Time `json:"resume,omitzero"`
}

// Sums are the numbers of the party.
type Sums struct {
	Here       int `json:"here"`
	OnTrail    int `json:"on_trail"`
	Out        int `json:"out"`
	Joined     int `json:"joined"`
	LeftEarly  int `json:"left_early"`
	HandedOver int `json:"handed_over"`
	Lost       int `json:"lost"`
	Unnamed    int `json:"unnamed"`
	Expected   int `json:"expected"`
}

// Person is one row. Mark is the event that an undo takes back; Alone means that it is about nobody
// else.
type Person struct {
	ID        party.PersonID    `json:"id"`
	Name      string            `json:"name"`
	Where     party.Whereabouts `json:"where"`
	Since     time.Time         `json:"since,omitzero"`
	Party     string            `json:"party,omitempty"`
	Staff     bool              `json:"staff,omitempty"`
	Role      string            `json:"role,omitempty"`
	Minor     bool              `json:"minor,omitempty"`
	Missing   bool              `json:"missing,omitempty"`
	Mark      party.EventID     `json:"mark,omitempty"`
	Alone     bool              `json:"alone,omitempty"`
	Last      *Sighting         `json:"last,omitempty"`
	ConfirmBy time.Time         `json:"confirm_by,omitzero"`
	Confirmed string            `json:"confirmed,omitempty"`
	// Water is what was seen, nil if nobody has looked. With is who is responsible for a minor.
	Water *unit.Volume `json:"water_litres,omitempty"`
	With  string       `json:"with,omitempty"`
}

// Sighting is a place and a time on which the records agree.
type Sighting struct {
	At    time.Time   `json:"at"`
	Place string      `json:"place"`
	Along unit.Length `json:"along_m,omitempty"`
}

// Flag is something odd that is not settled yet.
type Flag struct {
	Kind    party.FlagKind   `json:"kind"`
	Alarm   bool             `json:"alarm,omitempty"`
	Grave   bool             `json:"grave,omitempty"`
	At      time.Time        `json:"at"`
	Words   string           `json:"words"`
	Persons []party.PersonID `json:"persons,omitempty"`
	Claims  []Claim          `json:"claims,omitempty"`
	// Look says whom a low count lacks and where to look first. Since is where and when the number was
	// last right, zero if it never was.
	Look  string   `json:"look,omitempty"`
	Since Sighting `json:"since,omitzero"`
	// Settle means that undoing one of the claims settles it.
	Settle bool `json:"settle,omitempty"`
}

// Claim is one record that a flag is about.
type Claim struct {
	Event party.EventID `json:"event"`
	Kind  party.Kind    `json:"kind"`
	At    time.Time     `json:"at"`
	By    string        `json:"by"`
}

// Party is one group of a split.
type Party struct {
	Name     string    `json:"name"`
	Expected int       `json:"expected"`
	Complete bool      `json:"complete,omitempty"`
	Meet     string    `json:"meet,omitempty"`
	By       time.Time `json:"by,omitzero"`
}

// Early is one group that left early. Late means that its time is over and some are not confirmed.
type Early struct {
	Left      Sighting         `json:"left"`
	To        string           `json:"to,omitempty"`
	Names     []string         `json:"names"`
	Open      []party.PersonID `json:"open,omitempty"`
	ConfirmBy time.Time        `json:"confirm_by,omitzero"`
	Late      bool             `json:"late,omitempty"`
}

// Count is one headcount.
type Count struct {
	At       time.Time   `json:"at"`
	Place    string      `json:"place"`
	Along    unit.Length `json:"along_m,omitempty"`
	Party    string      `json:"party,omitempty"`
	Expected int         `json:"expected"`
	Leader   int         `json:"leader,omitempty"`
	Sweep    int         `json:"sweep,omitempty"`
	Agrees   bool        `json:"agrees,omitempty"`
}

// Search is the latest search, as long as it needs the page.
type Search struct {
	Began  time.Time `json:"began"`
	By     string    `json:"by"`
	Ended  time.Time `json:"ended,omitzero"`
	Number int       `json:"number"`
	// Who are the names of those who were missed, and how many more. Open are those still missing.
	Who     []string         `json:"who"`
	Persons []party.PersonID `json:"persons"`
	Open    []party.PersonID `json:"open"`
	Unnamed int              `json:"unnamed,omitempty"`
	Factors []party.Factor   `json:"factors,omitempty"`
	Seen    *Sighting        `json:"seen,omitempty"`
	SeenBy  string           `json:"seen_by,omitempty"`
	Said    string           `json:"said,omitempty"`
	Steps   []Tick           `json:"steps"`
	Failed  time.Time        `json:"failed,omitzero"`
	Risen   time.Time        `json:"risen,omitzero"`
	CallAt  time.Time        `json:"call_at"`
	RiseAt  time.Time        `json:"rise_at"`
	// CallNow means that the time to call for help has come.
	CallNow bool `json:"call_now,omitempty"`
	// Found are the people found, Told who has been told of it. Next is who is to be told next.
	Found []Finding `json:"found,omitempty"`
	Told  []Tick    `json:"told,omitempty"`
	Next  string    `json:"next,omitempty"`
}

// Tick is one thing done in a search.
type Tick struct {
	Step int       `json:"step,omitempty"`
	Who  string    `json:"who,omitempty"`
	At   time.Time `json:"at"`
	By   string    `json:"by"`
}

// Finding is one person found.
type Finding struct {
	Name  string    `json:"name"`
	At    time.Time `json:"at"`
	Place string    `json:"place"`
	Note  string    `json:"note,omitempty"`
}

// Care is what to do for people who are unwell.
type Care struct {
	Names     []string     `json:"names"`
	At        time.Time    `json:"at"`
	Signs     []party.Sign `json:"signs"`
	Emergency bool         `json:"emergency,omitempty"`
	Title     string       `json:"title"`
	Do        []string     `json:"do"`
}

// Noted is one line for rescuers.
type Noted struct {
	Topic string    `json:"topic"`
	Text  string    `json:"text"`
	At    time.Time `json:"at"`
	By    string    `json:"by"`
}

// Gate is the checks before leaving on one route. Blocked says why the party may not leave without a
// written reason; Against is the same for the record.
type Gate struct {
	Checks  []Check  `json:"checks"`
	Blocked string   `json:"blocked,omitempty"`
	Against []string `json:"against,omitempty"`
	Water   []string `json:"water,omitempty"`
}

// Check is one check.
type Check struct {
	Title string      `json:"title"`
	Grade party.Grade `json:"grade"`
	Words string      `json:"words"`
}
