package web

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/plan"
	"saltbush/web/view"
)

// composed makes the mail of one kind about a place.
type composed func(message.Place) (message.Mail, error)

// placeLetter is a mail about a place that is still to be composed.
type placeLetter struct {
	place   hike.SignUp
	link    string
	compose composed // nil where there is nothing to say
}

// placeMails composes mails about places of a hike, each with what it means for the person's
// calendar. The number of the entry makes the mail another one: who gives a place back twice
// is written to twice. All entries are numbered at once, so that two programs do not wait for
// each other. A mail that cannot be written, as to an address that no mail reaches, is logged
// and undoes nothing: the page of the place says the same.
func (s *Server) placeMails(ctx context.Context, t told, letters ...placeLetter) ([]message.Mail, error) {
	events := make([]calendar.Event, len(letters))
	for i, l := range letters {
		events[i] = s.placeEvent(ctx, t, l.place)
	}
	events, err := s.numbered(ctx, events...)
	if err != nil {
		return nil, err
	}
	var mails []message.Mail
	for i, l := range letters {
		letter := s.letter(ctx, t.hike, l.place, l.link)
		letter.Finish, letter.Where, letter.Ref = t.finish(), t.where(), edition(l.place, events[i])
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
func edition(p hike.SignUp, e calendar.Event) string {
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

// placeEvent is a person's place as a calendar entry. It names the public page and not
// the person's own: calendars are shown to colleagues and families.
func (s *Server) placeEvent(ctx context.Context, t told, p hike.SignUp) calendar.Event {
	e := entryOf(t.hike, t.trail, t.plan)
	e.UID, e.URL, e.Status = "place-"+p.ID+"@"+s.site(), s.BaseURL+hikePath(t.hike.ID), placeStatus(t.hike, p)
	e.Organizer = calendar.Person{Name: s.group(ctx), Email: cmp.Or(s.MailFrom, "hikes@"+s.site())}
	e.Attendee = calendar.Person{Name: p.Name, Email: p.Email}
	return e
}

// placeStatus is a place as a calendar knows it. A place that waits for its person's word
// is not sure; who only waits has nothing to keep the day free for.
func placeStatus(h hike.Hike, p hike.SignUp) calendar.Status {
	switch {
	case h.State == hike.CalledOff:
		return calendar.Cancelled
	case p.State == hike.Confirmed:
		return calendar.Confirmed
	case p.State == hike.Offered:
		return calendar.Tentative
	}
	return calendar.Cancelled
}

// actedLetter tells a person what their own press has done, where it changes what they have:
// their calendar hears of it too.
func actedLetter(before hike.SignUpState, link string) func(hike.SignUp) placeLetter {
	return func(p hike.SignUp) placeLetter {
		switch {
		case p.State == before:
			return placeLetter{}
		case p.State == hike.Confirmed:
			return placeLetter{p, link, message.Confirmed}
		case p.State == hike.Withdrawn:
			return placeLetter{p, "", message.Withdrawn}
		}
		return placeLetter{}
	}
}

// entries are the confirmed places of a hike with their entries as they were told.
func (s *Server) entries(ctx context.Context, id hike.HikeID) (told, map[string]calendar.Event, error) {
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil || h.State != hike.Posted {
		return told{}, nil, err
	}
	t, err := s.tell(ctx, h)
	by := map[string]calendar.Event{}
	for _, p := range t.signUps {
		if p.State == hike.Confirmed {
			by[p.ID] = s.placeEvent(ctx, t, p)
		}
	}
	return t, by, err
}

// changing notes how a hike stands before it changes, and returns what tells everybody
// with a place afterwards. What cannot be told is logged: the change stands.
func (s *Server) changing(r *http.Request, id hike.HikeID) (tell func()) {
	ctx := r.Context()
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
func (s *Server) noteTold(ctx context.Context, old map[string]calendar.Event) error {
	var list []calendar.Event
	for _, e := range old {
		list = append(list, e)
	}
	_, err := s.numbered(ctx, list...)
	return err
}

// House judgement: an estimate that moves by less is the same to who waits at home, and
// every forecast moves it a little.
const endsLikeBefore = 15 * time.Minute

func (s *Server) tellChanged(ctx context.Context, id hike.HikeID, before told, old map[string]calendar.Event) error {
	after, now, err := s.entries(ctx, id)
	if err != nil {
		return err
	}
	moved := func(m message.Place) (message.Mail, error) { return message.Moved(m, changesOf(before, after)) }
	var letters []placeLetter
	for _, p := range after.signUps {
		was, had := old[p.ID]
		is, has := now[p.ID]
		if had && has && is.Differs(was, endsLikeBefore) {
			letters = append(letters, placeLetter{p, "", moved})
		}
	}
	mails, err := s.placeMails(ctx, after, letters...)
	if err != nil {
		return err
	}
	return s.Outbox.Queue(ctx, s.Now(), mails...)
}

// changesOf says what is another than before, in sentences.
func changesOf(before, after told) []string {
	var list []string
	say := func(what, was, is string) {
		if was != is {
			list = append(list, fmt.Sprintf("%s: %s, no longer %s.", what, cmp.Or(is, "not known"), cmp.Or(was, "not known")))
		}
	}
	zone := after.zone()
	say("Day", view.Day(before.hike.Start, zone), view.Day(after.hike.Start, zone))
	say("Meet", view.Clock(before.hike.Meet, zone), view.Clock(after.hike.Meet, zone))
	say("We leave", view.Clock(before.hike.Start, zone), view.Clock(after.hike.Start, zone))
	say("Trail", before.trail.Name, after.trail.Name)
	say("Where", before.trail.Meeting, after.trail.Meeting)
	say("Back", before.finish(), after.finish())
	say("Name of the hike", before.hike.Title, after.hike.Title)
	return list
}

// where says where people meet and how to get there: a hike that moved meets elsewhere.
func (t told) where() string {
	words := strings.TrimSuffix(t.trail.Name+": "+strings.TrimSpace(t.trail.Meeting), ": ")
	if s := t.trail.Profile.Samples; len(s) > 0 {
		words += " (" + view.Position(s[0].At) + ")"
	}
	return words
}

// finish says when the hike is back, as the notice does; "" where nobody knows yet.
func (t told) finish() string {
	if t.plan == nil {
		return ""
	}
	return "between " + view.Clock(t.back(t.plan.Time.P50), t.zone()) + " and " + view.Clock(t.back(t.plan.Time.P90), t.zone())
}

// back is the hike's start and a time on the trail, up to the minute as the plan says it.
func (t told) back(took plan.Seconds) time.Time {
	return t.hike.Start.Add(took.Duration() + time.Minute - 1).Truncate(time.Minute)
}

// placeLink is the whole address of a place.
func (s *Server) placeLink(secret account.Secret) string { return s.BaseURL + placePath(secret) }
