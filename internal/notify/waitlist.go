package notify

import (
	"context"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
)

// ProcessWaitlists runs the timed sign-up jobs of every posted hike to come: expires offers,
// offers free places, reworks the cars, sends the reminders of the eve, and asks emergency
// contacts whether they can be reached. Several programs may run it at once: each place
// moves once, and each mail has one key.
func (n *Notifier) ProcessWaitlists(ctx context.Context) error {
	now := n.now()
	coming, err := n.store.Hikes(ctx, now, now.Add(hike.PlacesAhead))
	if err != nil {
		return err
	}
	for _, l := range coming {
		if l.Hike.State != hike.Posted {
			continue
		}
		if err := n.processWaitlist(ctx, l.Hike, now); err != nil {
			return err
		}
	}
	return nil
}

func (n *Notifier) processWaitlist(ctx context.Context, h hike.Hike, now time.Time) error {
	if _, err := n.store.ServePlaces(ctx, h.ID, now, n.ChangedMails(h, nil)); err != nil {
		return err
	}
	n.NotifyRides(ctx, h.ID)
	if err := n.remindEve(ctx, h, now); err != nil {
		return err
	}
	if !h.AsksContacts(now) {
		return nil
	}
	return n.askContacts(ctx, h, now)
}

// askContacts writes once to each emergency contact that has an address.
func (n *Notifier) askContacts(ctx context.Context, h hike.Hike, now time.Time) error {
	places, err := n.store.SignUps(ctx, h.ID)
	if err != nil {
		return err
	}
	for _, p := range places {
		if !p.ContactUnasked() {
			continue
		}
		if err := n.askContact(ctx, h, p.ID, now); err != nil {
			return err
		}
	}
	return nil
}

func (n *Notifier) askContact(ctx context.Context, h hike.Hike, id string, now time.Time) error {
	first := false
	mark := func(p *signup.SignUp) error {
		first = p.ContactAsked.IsZero() // else another program has asked
		if first {
			p.ContactAsked = now
		}
		return nil
	}
	ask := func(ctx context.Context, changed []signup.SignUp) ([]message.Mail, error) {
		if !first {
			return nil, nil
		}
		return n.contactMail(ctx, h, changed[0])
	}
	_, err := n.store.ChangeSignUp(ctx, id, now, mark, n.ChangedMails(h, NoLetter), ask)
	return err
}

// contactMail asks an emergency contact whether they can be reached.
func (n *Notifier) contactMail(ctx context.Context, h hike.Hike, p signup.SignUp) ([]message.Mail, error) {
	secret, err := n.newLink(ctx, account.ContactTarget(p.ID), h.ContactLinkEnds())
	if err != nil {
		return nil, err
	}
	letter := n.Letter(ctx, h, p, n.baseURL+"/contact/"+secret.Reveal())
	letter.To, letter.Name = p.ContactEmail, p.EmergencyName
	letter.Ref += "/" + format.Moment(n.now(), h.Start.Location()) // a contact named later is asked again
	m, err := message.Reachable(letter, p.Name)
	if err != nil {
		n.log.Error("compose mail", "place", p.ID, "err", err)
		return nil, nil
	}
	return []message.Mail{m}, nil
}
