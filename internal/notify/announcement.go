package notify

import (
	"context"
	"crypto/rand"
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// AnnouncementContext is what an announcement needs beyond the hike itself.
type AnnouncementContext struct {
	By      ref.Account            // who of the staff made the decision; not written to
	Address map[ref.Account]string // mail addresses of the staff
}

// Announce composes the announcement of a hike's decision to its staff and to everybody who
// has a place or waits for one, with what is different from before. Each gets a letter, and a
// reminder that waits in the outbox until the letter is read. Where the walk asks more than
// before, confirmed places become offers that people have to accept, or wait for a talk.
func (n *Notifier) Announce(
	ctx context.Context, before, t hike.Data, to AnnouncementContext,
) (hike.Announcing, []message.Mail, error) {
	a := announcement{notifier: n, before: before, data: t, about: decisionOf(before, t)}
	consent := len(a.about.More) > 0
	a.Telling = hike.NewAnnouncement(t.Hike,
		hike.Published{Meet: before.Hike.Meet, Trail: before.Trail.Name}, consent)
	for _, m := range t.Hike.StaffToTell(to.By) {
		as := signup.SignUp{ID: m.Person, Name: m.Name, Email: to.Address[m.Account]}
		if err := a.add(ctx, hike.Recipient{Account: m.Account}, as, calendar.Event{}); err != nil {
			return a.Announcing, nil, err
		}
	}
	entries, err := n.decidedEntries(ctx, t, consent)
	if err != nil {
		return a.Announcing, nil, err
	}
	for _, p := range t.SignUps {
		if !p.HearsAnnouncements() {
			continue
		}
		if consent {
			p = a.askAgain(p)
		}
		if err := a.add(ctx, hike.Recipient{SignUp: p.ID}, p, entries[p.ID]); err != nil {
			return a.Announcing, nil, err
		}
	}
	return a.Announcing, a.mails, nil
}

// announcement collects the recipients and the mails of one decision.
type announcement struct {
	hike.Announcing
	notifier     *Notifier
	before, data hike.Data
	about        message.Decision
	mails        []message.Mail
}

// askAgain collects a place that the decision changes, and returns it.
func (a *announcement) askAgain(p signup.SignUp) signup.SignUp {
	q := hike.AskAgain(p, a.before, a.data)
	if q.State != p.State || q.State == signup.Asked {
		a.Places = append(a.Places, q)
	}
	return q
}

// add writes to one recipient.
func (a *announcement) add(ctx context.Context, to hike.Recipient, p signup.SignUp, entry calendar.Event) error {
	d := a.about
	d.Staff = to.Account != 0
	switch {
	case d.Staff || len(d.More) == 0:
	case p.State == signup.Asked:
		d.Talk, d.Until = true, hike.Held(a.data.Hike, p)
	default:
		d.Consent = p.State == signup.Offered
	}
	letter := a.notifier.letterFrom(ctx, a.data, p, "")
	mails, err := a.notifier.decisionMails(a.data.Hike, &to, letter, d)
	if err != nil {
		return err
	}
	mails[0].Attach = invitation(entry)
	a.To, a.mails = append(a.To, to), append(a.mails, mails...)
	return nil
}

// decidedEntries returns the calendar entries of confirmed and offered places, by sign-up.
// With consent, confirmed places count as offers.
func (n *Notifier) decidedEntries(
	ctx context.Context, t hike.Data, consent bool,
) (map[string]calendar.Event, error) {
	var list []calendar.Event
	var ids []string
	for _, p := range t.SignUps {
		if consent && p.State == signup.Confirmed {
			p.State = signup.Offered
		}
		if p.State == signup.Confirmed || p.State == signup.Offered {
			list, ids = append(list, n.PlaceEvent(ctx, t, p)), append(ids, p.ID)
		}
	}
	list, err := n.Number(ctx, list...)
	entries := map[string]calendar.Event{}
	for i, e := range list {
		entries[ids[i]] = e
	}
	return entries, err
}

// decisionMails composes one person's letter and, where there is time for one, its reminder,
// with a link of their own.
func (n *Notifier) decisionMails(
	h hike.Hike, to *hike.Recipient, letter message.Place, d message.Decision,
) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	letter.Link, to.Link = n.baseURL+"/updates/"+secret.Reveal(), hash[:]
	first, err := message.Decided(letter, d)
	remind, inTime := h.Rules().RemindAt(h.Decision.At, h.Meet)
	if err != nil || !inTime {
		return []message.Mail{first}, err
	}
	d.Again = true
	again, err := message.Decided(letter, d)
	to.Remind, to.Reminder, again.NextTry = remind, again.Key, remind
	return []message.Mail{first, again}, err
}

// decisionOf says what was decided and what it changes.
func decisionOf(before, t hike.Data) message.Decision {
	h := t.Hike
	d := message.Decision{
		Edition: fmt.Sprintf("%d-%d", h.ID, h.Decision.At.UnixMilli()),
		What:    h.Decision.Says(),
		Ends:    h.State == hike.CalledOff,
	}
	if d.Ends {
		d.Because = h.Decision.Reason
		return d
	}
	if d.Changes = changesOf(before, t); len(d.Changes) == 0 {
		return d
	}
	d.Because, d.More = h.Decision.Reason, hike.AsksMore(before, t)
	if !hike.FactsOf(t).Planned() {
		d.NotKnown = "When we will be back and how much water each person needs are not known yet: no forecast has " +
			"been typed for this day."
	}
	return d
}
