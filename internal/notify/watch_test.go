package notify_test

import (
	"saltbush/internal/party"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// facts are those of a pass with the hike of a fake, its coordinator, and their two browsers.
func (f *fake) facts() notify.WatchFacts {
	return notify.WatchFacts{
		BaseURL: "https://hikes.example.org",
		House:   rules.House{Organisation: "Cinder Hills Walkers", Emergency: "911"},
		Contacts: watch.Book{Phones: true, Members: []watch.Member{
			{Name: "Teo Barr", Email: "Teo@example.org", Coordinator: true},
		}},
		Trails: map[ref.Trail]trail.Trail{3: f.trail},
		Parked: map[ref.Hike]ride.ParkedCars{},
		Browsers: map[string][]notify.Browser{
			"teo@example.org": {{Email: "teo@example.org", ID: 31, Slot: 1},
				{Email: "teo@example.org", ID: 32, Slot: 2}},
		},
	}
}

// firing is a step of the hike's ladder at its time. Nobody has reported the departure.
func (f *fake) firing(step watch.Step, who ...watch.Owner) watch.Firing {
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = 4*60*60, 5*60*60
	roster := party.Roster{{ID: "wren", Name: "Wren Abara"}, {ID: "lead", Name: "Juniper Vale", Role: "leader"}}
	c := watch.CaseOf(roll.Watched{
		Record: roll.Record{Hike: f.hike, Roster: roster}, Trail: f.trail.Name, Plan: &p,
	}, nil)
	return watch.Firing{
		Case: c,
		Rung: watch.Rung{Step: step, Name: watch.StepName(step), At: c.Times.Watch, Who: who,
			Do: "First press \"I have it\"."},
		Round: 1, Now: c.Times.Watch,
	}
}

// On-call has an address and a number; the coordinator an address and two browsers.
func TestAStepReachesEverybodyOnEveryChannel(t *testing.T) {
	f := newFake()
	n := f.facts().Notice(f.firing(watch.StepWatch, watch.OnCall, watch.Coordinator))
	if len(n.Lines) != 2 || len(n.Links) != 2 || len(n.Mails) != 5 {
		t.Fatalf("%d lines, %d links, %d messages; want 2, 2 and 5", len(n.Lines), len(n.Links), len(n.Mails))
	}
	var got []string
	for _, m := range n.Mails {
		got = append(got, string(m.Channel)+" to "+m.To)
	}
	want := []string{
		"alarm to rosa@example.org", "webhook to 602-555-0101", "alarm to Teo@example.org", "push to 31", "push to 32",
	}
	if !slices.Equal(got, want) {
		t.Errorf("sent %q, want %q", got, want)
	}
	if a, b := n.Lines[0].Channel, n.Lines[1].Channel; a != "mail and webhook" || b != "mail and push" {
		t.Errorf("logged %q and %q", a, b)
	}
	text := strings.Join(strings.Fields(n.Mails[0].Text), " ")
	for _, want := range []string{
		"First press \"I have it\".", "the departure is not confirmed",
		"Trail: Dry Fork", "Meeting place: left at the tank",
		"Phone signal: not known", "Planned start: ", "Leader Juniper Vale: no number known",
		"On call Rosa Lind: 602-555-0101", "Emergency number: 911", "Cinder Hills Walkers",
		"https://hikes.example.org/watch/",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in the alarm:\n%s", want, text)
		}
	}
	if strings.Contains(text, "late:") {
		t.Errorf("an alarm in time says that it is late:\n%s", text)
	}
}

func TestWithoutAGatewayNoTextIsSent(t *testing.T) {
	f := newFake()
	w := f.facts()
	w.Contacts.Phones = false
	n := w.Notice(f.firing(watch.StepWatch, watch.OnCall))
	if len(n.Mails) != 1 || n.Mails[0].Channel != message.ByAlarm || n.Lines[0].Channel != "mail" {
		t.Errorf("%d messages, logged %q; want a mail alone", len(n.Mails), n.Lines[0].Channel)
	}
}

// Days before the hike, names go to the coordinator and not to on-call.
func TestNamesGoToWhoMaySeeThemThen(t *testing.T) {
	f := newFake()
	firing := f.firing(watch.StepCard, watch.OnCall, watch.Coordinator)
	firing.Now = start().Add(-48 * time.Hour)
	for _, m := range f.facts().Notice(firing).Mails {
		if m.Channel != message.ByAlarm {
			continue
		}
		if got, want := strings.Contains(m.Text, "Wren"), m.To == "Teo@example.org"; got != want {
			t.Errorf("to %s: names %v, want %v", m.To, got, want)
		}
	}
}

// The keys are the same for the same step and recipient, so that no retry sends two; another
// round is another message.
func TestKeysOfAStepStayTheSame(t *testing.T) {
	f := newFake()
	firing := f.firing(watch.StepWatch, watch.OnCall)
	keys := func(f watch.Firing, w notify.WatchFacts) (list []string) {
		for _, m := range w.Notice(f).Mails {
			list = append(list, m.Key)
		}
		return list
	}
	first, again := keys(firing, f.facts()), keys(firing, f.facts())
	firing.Round = 2
	other := keys(firing, f.facts())
	if !slices.Equal(first, again) || slices.Equal(first, other) {
		t.Errorf("keys %q, again %q, in another round %q", first, again, other)
	}
}

func TestWhoCannotBeReachedIsLogged(t *testing.T) {
	f := newFake()
	f.hike.OnCall = team.Contact{Name: "Rosa Lind", Phone: "602-555-0101"}
	w := f.facts()
	w.Contacts = watch.Book{}
	n := w.Notice(f.firing(watch.StepWatch, watch.OnCall))
	if len(n.Mails) != 0 || len(n.Lines) != 1 || n.Lines[0].Channel != "none" || n.Lines[0].Ref != "" {
		t.Errorf("%d messages, lines %+v; want one line that says that nobody was told", len(n.Mails), n.Lines)
	}
}

func TestALateAlarmSaysSo(t *testing.T) {
	f := newFake()
	for by, want := range map[time.Duration]bool{59 * time.Second: false, time.Minute: true, 42 * time.Minute: true} {
		firing := f.firing(watch.StepWatch, watch.OnCall)
		firing.LateBy = by
		mail := f.facts().Notice(firing).Mails[0]
		if got := strings.Contains(mail.Text, "late: the watch could not"); got != want {
			t.Errorf("%v late: said %v, want %v", by, got, want)
		}
	}
}

// The card lists each step of the ladder once, by the clock.
func TestTheCardListsTheLadder(t *testing.T) {
	f := newFake()
	f.hike.Deputy = team.Contact{Name: "Teo Barr", Phone: "602-555-0103"}
	mail := f.facts().Notice(f.firing(watch.StepCard, watch.OnCall)).Mails[0]
	text := strings.Join(strings.Fields(mail.Text), " ")
	if mail.Subject != "Watch card: Dry Fork at dawn, Saturday 2 May 2026" {
		t.Errorf("subject %q", mail.Subject)
	}
	if n := strings.Count(text, "Call the emergency number and say where first."); n != 1 {
		t.Errorf("calling for help stands %d times on the card:\n%s", n, text)
	}
	if !strings.Contains(text, "11:30, start asking (on-call): First press \"I have it\".") {
		t.Errorf("no step with its clock time:\n%s", text)
	}
}

func TestAHikeWithoutAPlanHasNoClock(t *testing.T) {
	f := newFake()
	firing := f.firing(watch.StepCard, watch.OnCall)
	firing.Case = watch.CaseOf(roll.Watched{Record: roll.Record{Hike: f.hike}, Trail: "Dry Fork"}, nil)
	w := f.facts()
	w.Trails = nil // could not be read
	text := strings.Join(strings.Fields(w.Notice(firing).Mails[0].Text), " ")
	if !strings.Contains(text, "Return: not known: no plan was made") || strings.Contains(text, "Meeting place") {
		t.Error(text)
	}
	if !strings.Contains(text, "Trail: Dry Fork") {
		t.Error("an alarm waits for no trail, and keeps its name")
	}
}

// Whatever anybody typed, the alarm is written: cleaned, or as a plain one.
func TestAlarmIsWrittenWhateverWasTyped(t *testing.T) {
	hostile := []string{
		"two\nlines", "Ann\x01Bee", "\u202eevil", "\u200b\u200b", "", "\xff\xfe", "a\u2028b",
		strings.Repeat("long ", 20000),
		"Subject: x\r\nBcc: all@example.org",
	}
	for _, bad := range hostile {
		f := newFake()
		f.hike.Title, f.hike.OnCall.Phone = bad, bad
		f.hike.Staff[0].Name, f.hike.Staff[0].Phone = bad, bad
		w := f.facts()
		w.House.Organisation = bad
		got := w.Notice(f.firing(watch.StepWatch, watch.OnCall, watch.Deputy))
		if len(got.Mails) == 0 {
			t.Errorf("%.20q: no mail; log %+v", bad, got.Lines)
		}
		for _, m := range got.Mails {
			if err := m.Check(); err != nil {
				t.Errorf("%.20q: %v", bad, err)
			}
		}
	}
}

// A recipient whose address takes no mail becomes a line of the log, and the others are told.
func TestBadAddressIsLoggedAndOthersAreTold(t *testing.T) {
	f := newFake()
	f.hike.OnCall = team.Contact{Name: "Rosa Lind", Email: "boss at intranet\x01"}
	f.hike.Deputy = team.Contact{Name: "Teo Barr", Email: "teo@example.org"}
	got := f.facts().Notice(f.firing(watch.StepWatch, watch.OnCall, watch.Deputy))
	if len(got.Lines) != 2 || len(got.Mails) == 0 {
		t.Fatalf("%d lines and %d mails, want 2 lines and a mail to the deputy", len(got.Lines), len(got.Mails))
	}
	if !strings.HasPrefix(got.Lines[0].Outcome, "not told: ") || got.Lines[1].Outcome != "queued" {
		t.Errorf("outcomes %q and %q", got.Lines[0].Outcome, got.Lines[1].Outcome)
	}
}

// The names of all who are missing are in the alarm, however many there are.
func TestAnAlarmNamesEverybodyItIsAbout(t *testing.T) {
	m := message.Watch{About: strings.Repeat("Maximiliana Featherstone, ", 12) + "Jun Takeda are missing"}.Plain()
	if !strings.HasSuffix(m.About, "Jun Takeda are missing") {
		t.Errorf("the alarm is about %q", m.About)
	}
}

// A watch card or an all-clear that cannot be written asks nobody to call for help.
func TestLastResortCallsForHelpOnlyInAnAlarm(t *testing.T) {
	for _, over := range []bool{true, false} {
		m, err := message.LastResort(message.Watch{Ref: "watch/1/x", To: "rosa@example.org", Over: over})
		if err != nil {
			t.Fatal(err)
		}
		body := strings.Join(strings.Fields(m.Text), " ")
		if asks := strings.Contains(body, "may need help now"); asks == over {
			t.Errorf("over %v, and the mail asks for help: %v", over, asks)
		}
	}
}
