package web_test

import (
	"slices"
	"strings"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/ref"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// watchFacts is what the messages of the watch are composed from, as the watcher loads it.
func (a *agreement) watchFacts() notify.WatchFacts {
	a.t.Helper()
	way, err := a.DB.Trail(a.t.Context(), a.Trail)
	if err != nil {
		a.t.Fatal(err)
	}
	member := watch.Member{ID: 1, Name: "Juniper Vale", Email: sitetest.Coordinator, Coordinator: true}
	return notify.WatchFacts{
		BaseURL:  sitetest.WatchBase,
		Contacts: watch.Book{Members: []watch.Member{member}, Phones: true},
		Trails:   map[ref.Trail]trail.Trail{a.Trail: way, a.other.ID: a.other},
	}
}

// messages composes what is sent for steps that are due now, the card and two others at random, and
// holds it to the case.
func (a *agreement) messages(c watch.Case) {
	a.t.Helper()
	due := dueRungs(c, a.clock.Now())
	a.dice.Shuffle(len(due), func(i, j int) { due[i], due[j] = due[j], due[i] })
	n := 0
	for _, r := range due {
		if r.Step != watch.StepCard {
			n++
		}
		if n > 2 {
			continue
		}
		notice := a.mails.Notice(watch.Firing{Case: c, Rung: r, Round: 1, Now: a.clock.Now()})
		for _, m := range eachChannel(notice.Mails) {
			a.differs("the message "+string(r.Step), c, a.wrongMessage(m, r.Step, c))
		}
	}
}

// eachChannel is the first message by each channel: the others differ by the name of their reader.
func eachChannel(mails []message.Mail) (list []message.Mail) {
	for _, m := range mails {
		if !slices.ContainsFunc(list, func(x message.Mail) bool { return x.Channel == m.Channel }) {
			list = append(list, m)
		}
	}
	return list
}

func dueRungs(c watch.Case, now time.Time) []watch.Rung {
	return slices.DeleteFunc(c.Rungs(), func(r watch.Rung) bool {
		_, action := c.Decide(r.Step, now)
		return action != watch.Fire
	})
}

// wrongMessage lists what a message says otherwise than the case. A mail of the watch tells all
// times, and an alarm of a search names everybody who is missing.
func (a *agreement) wrongMessage(m message.Mail, step watch.Step, c watch.Case) []string {
	wrong := wrongWords(m.Text, c, a.clock.Now(), a.seen)
	a.seen["messages by "+string(m.Channel.OrMail())]++
	if m.Channel != message.ByAlarm {
		return wrong
	}
	for _, s := range sayings()[:4] { // start, likely return, watch and call time
		if !sayingPatterns[s.words].MatchString(oneLine(m.Text)) {
			wrong = append(wrong, "does not say "+s.words)
		}
	}
	over := strings.HasSuffix(string(step), string(watch.StepClear))
	if strings.HasPrefix(string(step), "search-") && !over {
		wrong = append(wrong, unnamed(oneLine(m.Text), c, a.seen)...)
	}
	return wrong
}

// ring makes a pass of the watcher over the database, and holds what it queued to the case.
func (a *agreement) ring(c watch.Case) {
	a.t.Helper()
	if err := a.watcher.Watch(a.t.Context()); err != nil {
		a.t.Fatal(err)
	}
	for _, m := range a.newMails() {
		a.differs("the queued message "+m.Key, c, a.wrongMessage(m, stepOf(m), c))
	}
}

// stepOf reads the step off the key of a message of the watch: "watch/12/search-1/missing/1/...".
func stepOf(m message.Mail) watch.Step {
	parts := strings.Split(m.Key, "/")
	if len(parts) < 6 {
		return ""
	}
	return watch.Step(strings.Join(parts[2:len(parts)-3], "/"))
}

// letters holds the letters to people with a place to the case, and returns how many there are.
func (a *agreement) letters(c watch.Case) (list []message.Mail) {
	a.t.Helper()
	for _, m := range a.newMails() {
		a.differs("the letter "+m.Key, c, wrongWords(m.Text, c, a.clock.Now(), a.seen))
		kind, _, _ := strings.Cut(m.Key, "/")
		a.seen["letters: "+kind]++
		list = append(list, m)
	}
	return list
}

// newMails are the messages that were queued since the last time, the oldest first.
func (a *agreement) newMails() []message.Mail {
	a.t.Helper()
	const most = 200 // of one step, with all that were due meanwhile
	list, err := a.DB.Outbox().Recent(a.t.Context(), most)
	if err != nil {
		a.t.Fatal(err)
	}
	list = slices.DeleteFunc(list, func(m message.Mail) bool { return m.ID <= a.mail })
	if len(list) == most {
		a.t.Fatal("more messages than were read")
	}
	for _, m := range list {
		a.mail = max(a.mail, m.ID)
	}
	slices.Reverse(list)
	return list
}
