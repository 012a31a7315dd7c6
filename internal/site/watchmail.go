package site

import (
	"cmp"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// tell writes a step to everybody whom it goes to. The log has a line for each of them,
// also for one who cannot be reached.
func (n notifier) tell(f watch.Firing) (postgres.Told, error) {
	var told postgres.Told
	for _, r := range n.book.For(f.Hike, f.Rung.Who, f.Takers(f.Now)) {
		line := watch.Logged{
			Hike:      f.Hike.ID,
			At:        f.Now,
			Kind:      watch.LogStep,
			Step:      f.Rung.Step,
			Round:     f.Round,
			Due:       f.Rung.At,
			LateBy:    f.LateBy,
			Recipient: r.Words(),
			Channel:   "none",
			Outcome:   "nobody was told: no mail address is known",
		}
		if n.book.Reaches(r) {
			line.Ref = refOf(f, r)
			mails, link, err := n.messages(f, r, line.Ref)
			if err != nil {
				return told, fmt.Errorf("write to %s: %w", r.Words(), err)
			}
			line.Channel, line.Outcome = channels(mails), "queued"
			told.Mails, told.Links = append(told.Mails, mails...), append(told.Links, link)
		}
		told.Lines = append(told.Lines, line)
	}
	return told, nil
}

// refOf is the same for the same step of the same round to the same recipient.
func refOf(f watch.Firing, r watch.Recipient) string {
	return fmt.Sprintf("watch/%d/%s/%d/%x", f.Hike.ID, f.Rung.Step, f.Round, sha256.Sum256([]byte(r.Key())))
}

func channelNames() map[message.Channel]string {
	return map[message.Channel]string{message.ByAlarm: "mail", message.ByHook: "webhook", message.ByPush: "push"}
}

func channels(mails []message.Mail) string {
	var names []string
	for _, m := range mails {
		name := channelNames()[m.Channel]
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " and ")
}

// messages are the mail and the text to one recipient, with one private link in both.
func (n notifier) messages(f watch.Firing, r watch.Recipient, ref string) ([]message.Mail, account.Link, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, account.Link{}, err
	}
	link := account.Link{
		Hash:    hash,
		Target:  account.WatchTarget(f.Hike.ID, r.Account, cmp.Or(r.Name, string(r.Owner))),
		Expires: f.Now.Add(account.WatchFor),
	}
	w := n.words(f, r, ref)
	w.Link = n.base + "/watch/" + secret.Reveal()
	var mails []message.Mail
	var errs []error
	add := func(m message.Mail, err error) { mails, errs = append(mails, m), append(errs, err) }
	if r.Email != "" {
		w.To = r.Email
		if f.Rung.Step == watch.StepCard {
			add(message.Card(w, when(f)))
		} else {
			add(message.Alarm(w))
		}
	}
	if n.book.Phones && r.Phone != "" {
		w.To = r.Phone
		add(message.Text(w))
	}
	for _, b := range n.browsers[strings.ToLower(r.Email)] {
		w.To = strconv.FormatInt(b.ID, 10)
		add(message.Pushed(w, b.Slot, fmt.Sprintf("/hikes/%d/watch", f.Hike.ID)))
	}
	return mails, link, errors.Join(errs...)
}

// words puts the facts of a step into words, by the clock of the trailhead.
func (n notifier) words(f watch.Firing, r watch.Recipient, ref string) message.Watch {
	zone := f.Hike.Start.Location()
	w := message.Watch{
		Ref: ref, Name: cmp.Or(r.Name, string(r.Owner)), Hike: f.Hike.Title, Day: format.Day(f.Hike.Start, zone),
		Group: cmp.Or(n.house.Organisation, "Saltbush"), Step: f.Rung.Name, At: format.Moment(f.Rung.At, zone),
		Late: late(f.LateBy), Do: f.Rung.Do, Why: f.Times.Why, Made: format.Moment(f.Now, zone),
	}
	if f.Promised && !f.Times.DepartureConfirmed {
		const unconfirmed = "the departure is not confirmed: nobody has reported it, and the times run from the planned start"
		w.Why = append([]string{unconfirmed}, w.Why...)
	}
	w.Where = n.place(f.Hike, f.Trail)
	w.Times = clocks(f.Case, zone)
	sight := privacy.Visibility{As: []privacy.Capacity{capacity(r.Owner)}, Window: f.Case.Window(f.Now)}
	if sight.CanSee(privacy.KindPlate) {
		w.Cars = cars(f.State, n.parked[f.Hike.ID])
	}
	if sight.CanSee(privacy.KindName) {
		w.Out = whoIsOut(f.State, zone)
	}
	w.Calls = n.calls(f.Hike)
	return w
}

// capacity is what the owner of a step is to its hike.
func capacity(o watch.Owner) privacy.Capacity {
	if o == watch.Coordinator {
		return privacy.AsCoordinator
	}
	return privacy.AsOnCall
}

// House judgement: a minute of lateness changes nothing for whoever reads it.
const worthSaying = time.Minute

func late(by time.Duration) string {
	if by < worthSaying {
		return ""
	}
	return "This comes " + format.Duration(by) + " late: the watch could not be kept in between. " +
		"Act on it as if it had come in time, and faster."
}

func clocks(c watch.Case, zone *time.Location) [][2]string {
	if !c.Promised {
		return [][2]string{{"Start", format.Moment(c.Hike.Start, zone)}, {"Return", "not known: no plan was made"}}
	}
	t := c.Times
	start := "Left"
	if !t.DepartureConfirmed {
		start = "Planned start"
	}
	list := [][2]string{{start, format.Moment(t.Start, zone)}, {"Likely return", format.Moment(t.Expected, zone)},
		{"Watch time", format.Moment(t.Watch, zone)}, {"Call time", format.Moment(t.Call, zone)}}
	for _, l := range c.Promise.Limits() {
		list = append(list, [2]string{strings.ToUpper(l.Name[:1]) + l.Name[1:], format.Moment(l.At, zone)})
	}
	return list
}

func whoIsOut(s roll.State, zone *time.Location) []string {
	var list []string
	for _, p := range s.MissingPersons() {
		text := p.Name
		if p.Role != "" {
			text += " (" + p.Role + ")"
		}
		if p.Last.At.IsZero() {
			text += ": not counted yet"
		} else {
			text += ": " + cmp.Or(p.Last.Place, "place not given") + ", " + format.Clock(p.Last.At, zone)
		}
		list = append(list, text)
	}
	if s.Unnamed > 0 {
		list = append(list, format.Count(s.Unnamed, "person", "people")+" more, without a name")
	}
	return list
}

// calls are the numbers to ring: those on the trail first.
func (n notifier) calls(h hike.Hike) [][2]string {
	var list [][2]string
	add := func(who, name, phone string) {
		if name != "" {
			list = append(list, [2]string{who + " " + name, cmp.Or(phone, "no number known")})
		}
	}
	for _, m := range h.Staff {
		add(strings.ToUpper(string(m.Role[:1]))+string(m.Role[1:]), m.Name, m.Phone)
	}
	add("On call", h.OnCall.Name, h.OnCall.Phone)
	add("Deputy", h.Deputy.Name, h.Deputy.Phone)
	if n.house.Emergency != "" {
		list = append(list, [2]string{"Emergency number", n.house.Emergency})
	}
	return list
}
