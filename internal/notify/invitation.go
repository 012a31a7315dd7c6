package notify

import (
	"cmp"
	"context"
	"fmt"

	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/internal/signup"
)

// PlaceMails composes mails about places of a hike, each with its calendar entry. The
// entry's sequence number is part of the mail's key, so somebody who gives a place back
// twice is written to twice. All entries are numbered in one call, so that two programs do
// not wait for each other's locks. A mail that cannot be composed, for example to an
// address that does not work, is logged: the page of the place says the same.
func (n *Notifier) PlaceMails(ctx context.Context, t hike.Data, letters ...PlaceLetter) ([]message.Mail, error) {
	events := make([]calendar.Event, len(letters))
	for i, l := range letters {
		events[i] = n.PlaceEvent(ctx, t, l.place)
	}
	events, err := n.Number(ctx, events...)
	if err != nil {
		return nil, err
	}
	var mails []message.Mail
	for i, l := range letters {
		letter := n.letterFrom(ctx, t, l.place, l.link)
		letter.Ref = edition(l.place, events[i])
		m, err := l.compose(letter)
		if err != nil {
			n.log.Error("compose mail", "place", l.place.ID, "err", err)
			continue
		}
		m.Attach = invitation(events[i])
		mails = append(mails, m)
	}
	return mails, nil
}

// edition identifies a mail: the place, and which change of it.
func edition(p signup.SignUp, e calendar.Event) string {
	if e.Sequence == 0 {
		return p.ID
	}
	return fmt.Sprintf("%s-%d", p.ID, e.Sequence)
}

// invitation is the part of a mail that a mail program puts into the calendar. It is left
// out for a place that is not confirmed and never was in a calendar.
func invitation(e calendar.Event) []message.Attachment {
	if e.UID == "" || e.Sequence == 0 && e.Status != calendar.Confirmed {
		return nil
	}
	method := calendar.Request
	if e.Status == calendar.Cancelled {
		method = calendar.Cancel
	}
	file := calendar.Calendar{Method: method, Events: []calendar.Event{e}}
	return []message.Attachment{{
		Name:   "hike.ics",
		Type:   "text/calendar; method=" + string(method),
		Bytes:  file.Bytes(),
		Inline: true,
	}}
}

// PlaceEvent is a person's place as a calendar entry. It links to the public page and not
// to the person's own, because calendars are shared with colleagues and families.
func (n *Notifier) PlaceEvent(ctx context.Context, t hike.Data, p signup.SignUp) calendar.Event {
	e := HikeEvent(t.Hike, t.Trail, t.Plan)
	e.UID = "place-" + p.ID + "@" + n.Site()
	e.URL = n.baseURL + paths.Hike(t.Hike.ID)
	e.Status = placeStatus(t.Hike, p)
	e.Organizer = calendar.Person{Name: n.group(ctx), Email: cmp.Or(n.mailFrom, "hikes@"+n.Site())}
	e.Attendee = calendar.Person{Name: p.Name, Email: p.Email}
	return e
}

// placeStatus is the calendar status of a place. An offered place is tentative. Somebody on
// the waiting list has nothing to keep the day free for, so that is canceled.
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
