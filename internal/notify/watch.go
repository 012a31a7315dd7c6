package notify

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
	"saltbush/internal/message"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/rules"
	"saltbush/internal/text"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// WatchFacts is what the messages of the watch are composed from. It is loaded once a pass,
// before any step is carried out, and not changed afterwards: a step holds a database
// connection and must not wait for another.
type WatchFacts struct {
	BaseURL  string
	House    rules.House
	Contacts watch.Book
	// Trails and Parked may lack what could not be read. An alarm does not wait for them.
	Trails map[ref.Trail]trail.Trail
	Parked map[ref.Hike]ride.ParkedCars
	// Browsers are those to push to, by the mail address of their account in lower case.
	Browsers map[string][]Browser
}

// Browser is one browser of an account that gets pushes. Slot is its number within the
// account.
type Browser struct {
	Email string
	ID    int64
	Slot  int
}

// StepNotice is what carrying out a step leaves behind: log lines, messages on their way,
// and the links in them.
type StepNotice struct {
	Lines []watch.Logged
	Mails []message.Mail
	Links []account.Link
}

// Notice composes the messages of a step to everybody whom it goes to. The log gets a line
// for each of them, also for one who cannot be reached or written to: nobody's address or text keeps
// the others from being told.
func (w WatchFacts) Notice(f watch.Firing) StepNotice {
	var notice StepNotice
	for _, r := range w.Contacts.For(f.Case, f.Rung, f.Now) {
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
			Outcome:   "not told: no mail address is known",
		}
		if w.Contacts.Reaches(r) {
			line.Ref = stepRef(f, r)
			mails, link, err := w.messages(f, r, line.Ref)
			line.Channel, line.Outcome = cmp.Or(channelsOf(mails), "none"), outcome(mails, err)
			notice.Mails = append(notice.Mails, mails...)
			if len(mails) > 0 && link.Hash != (account.Hash{}) {
				notice.Links = append(notice.Links, link)
			}
		}
		notice.Lines = append(notice.Lines, line)
	}
	return notice
}

// outcome says what became of the messages to a recipient.
func outcome(mails []message.Mail, err error) string {
	if err == nil {
		return "queued"
	}
	why := strings.Join(slices.Compact(strings.Split(err.Error(), "\n")), "; ")
	if len(mails) == 0 {
		return "not told: " + text.Line(why)
	}
	return "partly queued: " + text.Line(why)
}

// stepRef is the same for the same step of the same round to the same recipient.
func stepRef(f watch.Firing, r watch.Recipient) string {
	return fmt.Sprintf("watch/%d/%s/%d/%x", f.Hike.ID, f.Rung.Step, f.Round, sha256.Sum256([]byte(r.Key())))
}

// channelsOf names the channels of the mails for the log, each once.
func channelsOf(mails []message.Mail) string {
	words := map[message.Channel]string{message.ByAlarm: "mail", message.ByHook: "webhook", message.ByPush: "push"}
	var names []string
	for _, m := range mails {
		if name := words[m.Channel]; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " and ")
}

// messages composes the mail, the text and the pushes to one recipient, with one private link in the
// mail and the text. What cannot be written is left out and is in the error; a mail is then replaced by
// one with nothing in it that anybody typed.
func (w WatchFacts) messages(
	f watch.Firing, r watch.Recipient, key string,
) ([]message.Mail, account.Link, error) {
	m := w.alarm(f, r, key).Plain()
	link, reveal, err := watchLink(f, r)
	if err == nil {
		m.Link = w.BaseURL + "/watch/" + reveal
	}
	var mails []message.Mail
	errs := []error{err}
	add := func(to string, compose func(message.Watch) (message.Mail, error)) {
		m.To = to
		mail, err := compose(m)
		if err == nil {
			mails = append(mails, mail)
		}
		errs = append(errs, err)
	}
	if r.Email != "" {
		compose := message.Alarm
		if f.Rung.Step == watch.StepCard {
			compose = func(m message.Watch) (message.Mail, error) { return message.Card(m, cardSteps(f)) }
		}
		add(r.Email, compose)
		if len(mails) == 0 {
			add(r.Email, message.LastResort)
		}
	}
	if w.Contacts.Phones && r.Phone != "" {
		add(r.Phone, message.Text)
	}
	for _, b := range w.Browsers[strings.ToLower(r.Email)] {
		add(strconv.FormatInt(b.ID, 10), func(m message.Watch) (message.Mail, error) {
			return message.Pushed(m, b.Slot, fmt.Sprintf("/hikes/%d/watch", f.Hike.ID))
		})
	}
	return mails, link, errors.Join(errs...)
}

// watchLink makes a private link to the watch for one recipient, and its secret part.
func watchLink(f watch.Firing, r watch.Recipient) (link account.Link, secret string, err error) {
	s, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return link, "", err
	}
	return account.Link{
		Hash:    hash,
		Target:  account.WatchTarget(f.Hike.ID, r.Account, cmp.Or(text.Line(r.Name), string(r.Owner))),
		Expires: f.Now.Add(account.WatchFor),
	}, s.Reveal(), nil
}

// alarm puts the facts of a step into words for one recipient, by the clock of the
// trailhead. People's names and plates are left out where the recipient may not see them.
func (w WatchFacts) alarm(f watch.Firing, r watch.Recipient, key string) message.Watch {
	zone := f.Hike.Start.Location()
	m := message.Watch{
		Ref:   key,
		Name:  cmp.Or(r.Name, string(r.Owner)),
		Hike:  f.Hike.Title,
		Day:   format.Day(f.Hike.Start, zone),
		Group: groupName(w.House),
		Step:  f.Rung.Name,
		At:    format.Moment(f.Rung.At, zone),
		Late:  lateness(f.LateBy),
		Do:    f.Rung.Do,
		Why:   f.Times.Why,
		Where: w.place(f.Hike, f.Trail),
		Times: clockTimes(f.Case, zone),
		Calls: w.phoneNumbers(f.Hike),
		Made:  format.Moment(f.Now, zone),
	}
	if f.Promised && !f.Times.DepartureConfirmed {
		const unconfirmed = "the departure is not confirmed: nobody has reported it, and the times run from the " +
			"planned start"
		m.Why = append([]string{unconfirmed}, m.Why...)
	}
	sight := privacy.Visibility{As: []privacy.Capacity{capacityOf(r.Owner)}, Window: f.Case.Window(f.Now)}
	if sight.CanSee(privacy.KindPlate) {
		m.Cars = openCars(f.State, w.Parked[f.Hike.ID])
	}
	if sight.CanSee(privacy.KindName) {
		m.Out = missing(f.State, zone)
		m.About = f.Rung.About
	}
	if !f.Rung.Deadline.IsZero() {
		m.By = format.Clock(f.Rung.Deadline, zone)
	}
	if f.Rung.Step.Kind() == watch.StepClear {
		m.Out = nil // it is over; who is out is on the page
	}
	switch f.Rung.Step.Kind() {
	case watch.StepCard, watch.StepClear, watch.StepStill:
		m.Over = true
	}
	return m
}

func capacityOf(o watch.Owner) privacy.Capacity {
	if o == watch.Coordinator {
		return privacy.AsCoordinator
	}
	return privacy.AsOnCall
}

// Our judgment: a minute of lateness makes no difference to the reader.
const worthMentioning = time.Minute

func lateness(by time.Duration) string {
	if by < worthMentioning {
		return ""
	}
	return "This comes " + format.Duration(by) + " late: the watch could not be kept in between. " +
		"Act on it as if it had come in time, and faster."
}
