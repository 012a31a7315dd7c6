package notify

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// composed makes the mail of one kind about a place.
type composed func(message.Place) (message.Mail, error)

// PlaceLetter is a mail about a place that is still to be composed.
type PlaceLetter struct {
	place   signup.SignUp
	link    string
	compose composed // nil where there is nothing to say
}

// PlaceMails composes mails about places of a hike, each with what it means for the person's
// calendar. The number of the entry makes the mail another one: who gives a place back twice
// is written to twice. All entries are numbered at once, so that two programs do not wait for
// each other. A mail that cannot be written, as to an address that no mail reaches, is logged
// and undoes nothing: the page of the place says the same.
func (s *Notifier) PlaceMails(ctx context.Context, t hike.Data, letters ...PlaceLetter) ([]message.Mail, error) {
	events := make([]calendar.Event, len(letters))
	for i, l := range letters {
		events[i] = s.PlaceEvent(ctx, t, l.place)
	}
	events, err := s.Numbered(ctx, events...)
	if err != nil {
		return nil, err
	}
	var mails []message.Mail
	for i, l := range letters {
		letter := s.Letter(ctx, t.Hike, l.place, l.link)
		letter.Finish, letter.Where, letter.Ref = t.Finish(), t.Where(), edition(l.place, events[i])
		m, err := l.compose(letter)
		if err != nil {
			s.Log.Error("compose mail", "place", l.place.ID, "err", err)
			continue
		}
		m.Attach = invitation(events[i])
		mails = append(mails, m)
	}
	return mails, nil
}

// edition names what a mail is about: the place, and which change of it.
func edition(p signup.SignUp, e calendar.Event) string {
	if e.Sequence == 0 {
		return p.ID
	}
	return fmt.Sprintf("%s-%d", p.ID, e.Sequence)
}

// invitation is the part of a mail that a mail program puts into the calendar. Who never
// had an entry gets none of a place that they do not have.
func invitation(e calendar.Event) []message.Attachment {
	if e.UID == "" || e.Sequence == 0 && e.Status != calendar.Confirmed {
		return nil
	}
	method := calendar.Request
	if e.Status == calendar.Cancelled {
		method = calendar.Cancel
	}
	file := calendar.Calendar{Method: method, Events: []calendar.Event{e}}
	return []message.Attachment{{Name: "hike.ics", Type: "text/calendar; method=" + string(method), Bytes: file.Bytes(), Inline: true}}
}

// PlaceEvent is a person's place as a calendar entry. It names the public page and not
// the person's own: calendars are shown to colleagues and families.
func (s *Notifier) PlaceEvent(ctx context.Context, t hike.Data, p signup.SignUp) calendar.Event {
	e := EntryOf(t.Hike, t.Trail, t.Plan)
	e.UID, e.URL, e.Status = "place-"+p.ID+"@"+s.Site(), s.BaseURL+paths.Hike(t.Hike.ID), placeStatus(t.Hike, p)
	e.Organizer = calendar.Person{Name: s.group(ctx), Email: cmp.Or(s.MailFrom, "hikes@"+s.Site())}
	e.Attendee = calendar.Person{Name: p.Name, Email: p.Email}
	return e
}

// placeStatus is a place as a calendar knows it. A place that waits for its person's word
// is not sure; who only waits has nothing to keep the day free for.
func placeStatus(h hike.Hike, p signup.SignUp) calendar.Status {
	switch {
	case h.State == hike.CalledOff:
		return calendar.Cancelled
	case p.State == signup.Confirmed:
		return calendar.Confirmed
	case p.State == signup.Offered:
		return calendar.Tentative
	}
	return calendar.Cancelled
}

// ActedLetter tells a person what their own press has done, where it changes what they have:
// their calendar hears of it too.
func ActedLetter(before signup.State, link string) func(signup.SignUp) PlaceLetter {
	return func(p signup.SignUp) PlaceLetter {
		switch {
		case p.State == before:
			return PlaceLetter{}
		case p.State == signup.Confirmed:
			return PlaceLetter{p, link, message.Confirmed}
		case p.State == signup.Withdrawn:
			return PlaceLetter{p, "", message.Withdrawn}
		}
		return PlaceLetter{}
	}
}

// entries are the confirmed places of a hike with their entries as they were hike.Data.
func (s *Notifier) entries(ctx context.Context, id ref.Hike) (hike.Data, map[string]calendar.Event, error) {
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil || h.State != hike.Posted {
		return hike.Data{}, nil, err
	}
	t, err := s.load(ctx, h)
	by := map[string]calendar.Event{}
	for _, p := range t.SignUps {
		if p.State == signup.Confirmed {
			by[p.ID] = s.PlaceEvent(ctx, t, p)
		}
	}
	return t, by, err
}

// NotifyOnChange notes how a hike stands before it changes, and returns what tells everybody
// with a place afterwards. What cannot be hike.Data is logged: the change stands.
func (s *Notifier) NotifyOnChange(ctx context.Context, id ref.Hike) (tell func()) {
	before, old, err := s.entries(ctx, id)
	if err == nil {
		err = s.noteTold(ctx, old)
	}
	if err != nil {
		s.Log.Error("note a hike before it changes", "hike", id, "err", err)
		return func() {}
	}
	return func() {
		if err := s.tellChanged(ctx, id, before, old); err != nil {
			s.Log.Error("tell of a hike changed", "hike", id, "err", err)
		}
	}
}

// noteTold numbers the entries as they stand, so that the change is one.
func (s *Notifier) noteTold(ctx context.Context, old map[string]calendar.Event) error {
	var list []calendar.Event
	for _, e := range old {
		list = append(list, e)
	}
	_, err := s.Numbered(ctx, list...)
	return err
}

// House judgement: an estimate that moves by less is the same to who waits at home, and
// every forecast moves it a little.
const endsLikeBefore = 15 * time.Minute

func (s *Notifier) tellChanged(ctx context.Context, id ref.Hike, before hike.Data, old map[string]calendar.Event) error {
	after, now, err := s.entries(ctx, id)
	if err != nil {
		return err
	}
	moved := func(m message.Place) (message.Mail, error) { return message.Moved(m, changesOf(before, after)) }
	var letters []PlaceLetter
	for _, p := range after.SignUps {
		was, had := old[p.ID]
		is, has := now[p.ID]
		if had && has && is.Differs(was, endsLikeBefore) {
			letters = append(letters, PlaceLetter{p, "", moved})
		}
	}
	mails, err := s.PlaceMails(ctx, after, letters...)
	if err != nil {
		return err
	}
	return s.Outbox.Queue(ctx, s.Now(), mails...)
}

// changesOf says what is another than before, in sentences.
func changesOf(before, after hike.Data) []string {
	var list []string
	say := func(what, was, is string) {
		if was != is {
			list = append(list, fmt.Sprintf("%s: %s, no longer %s.", what, cmp.Or(is, "not known"), cmp.Or(was, "not known")))
		}
	}
	zone := after.Zone()
	say("Day", format.Day(before.Hike.Start, zone), format.Day(after.Hike.Start, zone))
	say("Meet", format.Clock(before.Hike.Meet, zone), format.Clock(after.Hike.Meet, zone))
	say("We leave", format.Clock(before.Hike.Start, zone), format.Clock(after.Hike.Start, zone))
	say("Trail", before.Trail.Name, after.Trail.Name)
	say("Where", before.Trail.Meeting, after.Trail.Meeting)
	say("Back", before.Finish(), after.Finish())
	say("Name of the hike", before.Hike.Title, after.Hike.Title)
	return list
}

// placeLink is the whole address of a place.
func (s *Notifier) placeLink(secret account.Secret) string { return s.BaseURL + paths.Place(secret) }
