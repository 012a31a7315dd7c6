package card_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
	"saltbush/internal/team"
)

// meet is six o'clock at a trailhead seven hours behind UTC.
var meet = time.Date(2027, 3, 14, 6, 0, 0, 0, time.FixedZone("", -7*3600))

func outing(state hike.State) hike.Hike {
	return hike.Hike{ID: 7, State: state, Meet: meet, Start: meet.Add(30 * time.Minute),
		OnCall: team.Contact{Name: "Oren Vale", Phone: "602-555-0101", Email: "oren@example.org"},
		Deputy: team.Contact{Name: "Pia Sorel", Phone: "(602) 555 0102"},
		Staff: []team.Staff{{Account: 1, Role: team.Leader}, {Account: 2, Role: team.Sweep},
			{Account: 3, Role: team.Assistant}}}
}

func TestMayOpen(t *testing.T) {
	leader, sweep, assistant := card.Reader{Name: "L", Role: team.Leader}, card.Reader{Name: "S", Role: team.Sweep},
		card.Reader{Role: team.Assistant}
	onCall, deputy := card.Reader{Name: "Oren V.", Email: "Oren@example.org"},
		card.Reader{Name: "Pia Sorel", Phone: "602 555 0102"}
	linked := card.Reader{Name: "Oren Vale", OnCall: true}
	safety, other := card.Reader{Safety: true}, card.Reader{Name: "Somebody", Email: "x@example.org"}
	quiet, alarm, incident := [2]bool{}, [2]bool{true, false}, [2]bool{false, true}
	for _, tt := range []struct {
		name   string
		reader card.Reader
		state  hike.State
		is     [2]bool // alarm, incident
		at     time.Time
		want   card.Ground
	}{
		{"leader on the morning", leader, hike.Posted, quiet, meet.Add(-time.Hour), card.AsLeader},
		{"leader at midnight at the trailhead",
			leader, hike.Posted, quiet, meet.Add(-6 * time.Hour), card.AsLeader},
		{"leader a minute before the day", leader, hike.Posted, quiet, meet.Add(-6*time.Hour - time.Minute), ""},
		{"leader while out", leader, hike.Out, quiet, meet.Add(3 * time.Hour), card.AsLeader},
		{"leader the day after while still out", leader, hike.Out, alarm, meet.Add(26 * time.Hour), card.AsLeader},
		{"leader once it is closed", leader, hike.Closed, quiet, meet.Add(9 * time.Hour), ""},
		{"leader of a draft", leader, hike.Draft, quiet, meet, ""},
		{"leader of a canceled hike", leader, hike.CalledOff, quiet, meet, ""},
		{"sweep", sweep, hike.Out, alarm, meet.Add(time.Hour), ""},
		{"assistant", assistant, hike.Out, alarm, meet.Add(time.Hour), ""},
		{"on-call by address, in alarm", onCall, hike.Out, alarm, meet.Add(9 * time.Hour), card.AsOnCall},
		{"on-call without an alarm", onCall, hike.Out, quiet, meet.Add(time.Hour), ""},
		{"deputy by name and number, in alarm", deputy, hike.Out, alarm, meet.Add(9 * time.Hour), card.AsOnCall},
		{"deputy's name, another number",
			card.Reader{Name: "Pia Sorel", Phone: "602 555 0109"}, hike.Out, alarm, meet, ""},
		{"the link of the alarm, sent to on-call", linked, hike.Out, alarm, meet.Add(9 * time.Hour), card.AsOnCall},
		{"the link of the alarm, sent to another", card.Reader{Name: "Somebody"}, hike.Out, alarm, meet, ""},
		{"somebody who took the alarm", card.Reader{Name: "Somebody", Took: true}, hike.Out, alarm,
			meet.Add(9 * time.Hour),
			card.AsOnCall},
		{"somebody who took it, after the alarm", card.Reader{Name: "Somebody", Took: true}, hike.Back, quiet,
			meet.Add(9 * time.Hour), ""},
		{"the link after the alarm", linked, hike.Back, quiet, meet.Add(10 * time.Hour), ""},
		{"safety officer after an incident, closed", safety, hike.Closed, incident, meet.Add(50 * time.Hour),
			card.AsSafety},
		{"safety officer in alarm alone", safety, hike.Out, alarm, meet, ""},
		{"safety officer without any", safety, hike.Closed, quiet, meet, ""},
		{"somebody else in alarm and incident", other, hike.Out, [2]bool{true, true}, meet, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			now := card.Situation{Hike: outing(tt.state), Alarm: tt.is[0], Incident: tt.is[1]}
			got, ok := card.MayOpen(tt.reader, now, tt.at)
			if got != tt.want || ok != (tt.want != "") {
				t.Errorf("ground %q, %v; want %q", got, ok, tt.want)
			}
		})
	}
}

func TestEmptyContactsMatchNobody(t *testing.T) {
	h := outing(hike.Out)
	h.OnCall, h.Deputy = team.Contact{}, team.Contact{Name: "Pia Sorel"}
	for _, r := range []card.Reader{{}, {Email: "oren@example.org"}, {Name: "Pia Sorel"}} {
		if g, ok := card.MayOpen(r, card.Situation{Hike: h, Alarm: true}, meet); ok {
			t.Errorf("%+v opens as %s", r, g)
		}
	}
}

// MayOpen and privacy.Disclosed agree for every capacity.
func TestMayOpenAgreesWithDisclosed(t *testing.T) {
	readers := map[privacy.Capacity]card.Reader{
		privacy.AsPublic: {}, privacy.AsSweep: {Name: "S", Role: team.Sweep},
		privacy.AsLeader:      {Name: "L", Role: team.Leader},
		privacy.AsOtherLeader: {Name: "Somebody", Email: "x@example.org"},
		privacy.AsOnCall:      {Name: "Oren Vale", Email: "oren@example.org"},
		privacy.AsCoordinator: {Name: "C", Email: "c@example.org"}, privacy.AsSafety: {Name: "T", Safety: true},
		privacy.AsTrainer: {Name: "R", Email: "r@example.org"},
	}
	for as, reader := range readers {
		for _, s := range []card.Situation{{}, {Alarm: true}, {Incident: true}, {Alarm: true, Incident: true}} {
			s.Hike = outing(hike.Out)
			d := privacy.Disclosed(privacy.KindCard, as)
			want := d == privacy.OnOpening || d == privacy.OnAlarmOpened && s.Alarm || d == privacy.OnIncident &&
				s.Incident
			if _, got := card.MayOpen(reader, s, meet.Add(time.Hour)); got != want {
				t.Errorf("%s, alarm %v, incident %v: MayOpen %v, Disclosed %v", as, s.Alarm, s.Incident, got, want)
			}
		}
	}
}

func TestReaderOfAnAccount(t *testing.T) {
	r := card.ReaderOf(account.Account{ID: 2, Name: "S", Roles: []account.Role{account.Safety}}, outing(hike.Out))
	if r.Role != team.Sweep || !r.Safety || r.OnCall {
		t.Errorf("%+v", r)
	}
	if r := card.ReaderOf(account.Account{ID: 9}, outing(hike.Out)); r.Role != "" || r.Safety {
		t.Errorf("%+v", r)
	}
}

func TestOpeningValidate(t *testing.T) {
	for _, tt := range []struct {
		name, reason string
		ok           bool
	}{
		{"a sentence", "She fell and does not answer.", true}, {"nothing", "", false},
		{"spaces", strings.Repeat(" ", 40), false},
		{"a word", "help", false}, {"too long", strings.Repeat("a ", 400), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if err := (card.Opening{Reason: tt.reason}).Validate(); (err == nil) != tt.ok {
				t.Errorf("%v", err)
			}
		})
	}
}

func TestCardValidate(t *testing.T) {
	long := strings.Repeat("ä", card.LongestText)
	for _, tt := range []struct {
		name string
		card card.Card
		at   string
	}{
		{"empty", card.Card{}, ""},
		{"longest", card.Card{Details: card.Details{Medicines: long}}, ""},
		{"too long", card.Card{Details: card.Details{Medicines: long + "x"}}, "medicines"},
		{"a long action line", card.Card{Action: strings.Repeat("x", card.LongestAction+1)}, "action"},
		{"not a date", card.Card{Details: card.Details{Born: "spring 1961"}}, "born"},
		{"a date", card.Card{Details: card.Details{Born: "1961-04-30"}}, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.card.Validate()
			v, _ := err.(fault.Invalid)
			if tt.at == "" && err != nil || tt.at != "" && v[tt.at] == "" {
				t.Errorf("%v, want a fault of %q", err, tt.at)
			}
		})
	}
}

func TestMayWrite(t *testing.T) {
	for _, tt := range []struct {
		name  string
		hike  hike.State
		place signup.State
		ok    bool
	}{
		{"posted", hike.Posted, signup.Confirmed, true}, {"waiting", hike.Posted, signup.Waiting, true},
		{"out", hike.Out, signup.Confirmed, true},
		{"closed", hike.Closed, signup.Confirmed, false}, {"called off", hike.CalledOff, signup.Confirmed, false},
		{"withdrawn", hike.Posted, signup.Withdrawn, false},
		{"turned away", hike.Posted, signup.TurnedAway, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if err := card.MayWrite(hike.Hike{State: tt.hike}, signup.SignUp{State: tt.place}); (err == nil) != tt.ok {
				t.Errorf("%v", err)
			}
		})
	}
}
