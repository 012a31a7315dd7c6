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
	"saltbush/internal/ride"
	"saltbush/internal/signup"
)

// news finds whose part is not what they were told last, and notes in the book that they
// are told now. A child hears it from its adult; whoever comes alone and was told nothing
// has nothing to hear.
func (c Cars) news(b *ride.Book) ([]carNews, error) {
	var list []carNews
	for _, t := range c.People {
		p, was := c.Rides.PartOf(t), b.Told[t.ID]
		now, err := c.fingerprint(p)
		if err != nil {
			return nil, err
		}
		if t.Minor || was.Part == now || was.Times == 0 && !p.Shared() {
			continue
		}
		was.Part = now
		was.Times++
		b.Told[t.ID] = was
		n := carNews{who: t, times: was.Times, changed: was.Times > 1}
		for _, l := range c.Says(t, false) {
			n.says = append(n.says, l.Label+": "+l.Value+". "+l.Note)
		}
		list = append(list, n)
	}
	return list, nil
}

// News tells the hike's decision to everybody who has or waits for a place and to the
// staff, with one reminder that waits in the outbox until it is read.
func (s *Notifier) News(ctx context.Context, t hike.Data, consent bool, to AnnouncementContext) (hike.Announcing, []message.Mail, error) {
	h := t.Hike
	n := hike.Announcing{Telling: hike.NewAnnouncement(h, to.Before, consent)}
	var letters []message.Mail
	tell := func(to hike.Recipient, letter message.Place, consent bool, entry calendar.Event) error {
		letter.Finish, letter.Where = t.Finish(), t.Where()
		list, err := s.tellOne(h, &to, letter, consent)
		if err == nil {
			list[0].Attach = invitation(entry)
		}
		n.To, letters = append(n.To, to), append(letters, list...)
		return err
	}
	for _, m := range h.StaffToTell(to.By) {
		as := signup.SignUp{ID: m.Person, Name: m.Name, Email: to.Address[m.Account]}
		if err := tell(hike.Recipient{Account: m.Account}, s.Letter(ctx, h, as, ""), false, calendar.Event{}); err != nil {
			return n, nil, err
		}
	}
	entries, err := s.decidedEntries(ctx, t, consent)
	if err != nil {
		return n, nil, err
	}
	for _, p := range t.SignUps {
		if !p.HearsAnnouncements() {
			continue
		}
		if consent && p.State == signup.Confirmed {
			p.State = signup.Offered
			n.Places = append(n.Places, p)
		}
		if err := tell(hike.Recipient{SignUp: p.ID}, s.Letter(ctx, h, p, ""), consent && p.State == signup.Offered, entries[p.ID]); err != nil {
			return n, nil, err
		}
	}
	return n, letters, nil
}

// decidedEntries are the calendar entries of those who are told, by their place. Where all
// have to agree first, a place that was sure is not.
func (s *Notifier) decidedEntries(ctx context.Context, t hike.Data, consent bool) (map[string]calendar.Event, error) {
	var list []calendar.Event
	var whose []string
	for _, p := range t.SignUps {
		if consent && p.State == signup.Confirmed {
			p.State = signup.Offered
		}
		if p.State == signup.Confirmed || p.State == signup.Offered {
			list, whose = append(list, s.PlaceEvent(ctx, t, p)), append(whose, p.ID)
		}
	}
	list, err := s.Numbered(ctx, list...)
	by := map[string]calendar.Event{}
	for i, e := range list {
		by[whose[i]] = e
	}
	return by, err
}

// AnnouncementContext are what there is to know of those who are told: where the staff is written to,
// who of them takes the decision, and what everybody knew before.
type AnnouncementContext struct {
	By      ref.Account
	Address map[ref.Account]string
	Before  hike.Published
}

// tellOne writes one person's letter and its reminder, where there is time for one, with a
// link of their own.
func (s *Notifier) tellOne(h hike.Hike, to *hike.Recipient, letter message.Place, consent bool) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	letter.Link, to.Link = s.BaseURL+"/updates/"+secret.Reveal(), hash[:]
	d := message.Decision{Edition: fmt.Sprintf("%d-%d", h.ID, h.Decision.At.UnixMilli()), What: h.Decision.Says(), Consent: consent, Ends: h.State == hike.CalledOff}
	if d.Ends {
		d.Because = h.Decision.Reason
	}
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
