package sample

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
)

// Teller stores a decision with its mail, and who has read it.
type Teller interface {
	ChangeAndAnnounce(ctx context.Context, id ref.Hike, now time.Time,
		change func(*hike.Hike, []signup.SignUp) (hike.Announcing, []message.Mail, error)) error
	MarkRead(
		ctx context.Context, hash []byte, now time.Time, answer func(hike.Announcement, *signup.SignUp),
		mails ...hike.Mails,
	) ([]signup.SignUp, error)
}

// The hike to the spring in three days moves, because the spring is closed.
const (
	movesIn = 3
	movesTo = flatLoop
)

// tellSwap closes the spring, moves its hike to an easier trail, and marks the news as read by
// all but two: the sweep and the last who asked. They show how a leader reminds people.
func (l *loader) tellSwap(ctx context.Context) error {
	if l.Tell == nil || l.Ground == nil {
		return nil
	}
	if err := l.addGround(ctx); err != nil {
		return err
	}
	for _, o := range l.season.outings {
		ahead := o.hike.Start.Sub(l.now)
		if o.trail == spring && o.hike.State == hike.Posted && ahead > (movesIn-1)*24*time.Hour &&
			ahead < (movesIn+1)*24*time.Hour {
			return l.move(ctx, o)
		}
	}
	return nil
}

// addGround stores scout reports and a closure.
func (l *loader) addGround(ctx context.Context) error {
	today := unit.DateOf(l.now)
	for _, r := range []trail.ScoutReport{
		{Trail: l.trails[flatLoop], Walked: today.Add(-12), By: crew()[2].Name, Times: "1 h 50 with six",
			Conditions: "Firm and dry all the way round; the second bench has lost its shade cloth."},
		{Trail: l.trails[ridge], Walked: today.Add(-170), By: crew()[5].Name, Times: "4 h 20 alone",
			Conditions: "Loose on the second step.", Hazards: "Wasps under the notch."},
	} {
		r.Noted = r.Walked.Time()
		if err := l.Ground.AddScoutReport(ctx, r); err != nil {
			return err
		}
	}
	return l.Ground.AddClosure(ctx, trail.Closure{Trail: l.trails[spring], From: today.Add(-1), To: today.Add(20),
		Blocks: true, By: crew()[desk].Name, Noted: l.now.Add(-20 * time.Hour),
		Why: "The road bridge below the spring is washed out", Source: "the reserve desk, by telephone"})
}

func (l *loader) move(ctx context.Context, o outing) error {
	to := l.ways[movesTo]
	to.ID = l.trails[movesTo]
	at := l.now.Add(-3 * time.Hour)
	choice := hike.Choice{Outcome: hike.OtherTrail, By: o.hike.Staff[0].Name, At: at,
		Reason: "The road to the spring is out for weeks.", Trail: hike.Swap{From: l.ways[o.trail], To: to}}
	var hashes [][]byte
	err := l.Tell.ChangeAndAnnounce(ctx, o.hike.ID, at,
		func(h *hike.Hike, places []signup.SignUp) (hike.Announcing, []message.Mail, error) {
			before := watch.Replanned(hike.Data{Now: at}, *h, l.ways[o.trail], o.plan)
			moved, err := h.As(choice)
			if err != nil {
				return hike.Announcing{}, nil, err
			}
			p, err := hike.PlanFor(moved, to, choice.By, at)
			if err != nil {
				return hike.Announcing{}, nil, err
			}
			choice.On.Verdict = p.Plan.Verdict.Decision
			if err := h.Choose(choice); err != nil {
				return hike.Announcing{}, nil, err
			}
			h.Changed = hike.NewChange(h.Decision, before)
			o.hike = *h
			o.changes = hike.Changes(h.Changed.Was, hike.FactsOf(watch.Replanned(before, *h, to, &p)), to.Location(),
				hike.InBothUnits)
			news, letters, err := o.news(places, hike.Published{Meet: before.Hike.Meet, Trail: before.Trail.Name},
				l.BaseURL)
			news.Plan = &p
			for _, t := range news.To {
				hashes = append(hashes, t.Link)
			}
			return news, letters, err
		})
	if err != nil {
		return fmt.Errorf("move %q: %w", o.hike.Title, err)
	}
	for i, hash := range hashes {
		if i > 0 && i < len(hashes)-1 {
			if _, err := l.Tell.MarkRead(ctx, hash, at.Add(time.Duration(7*(i+1))*time.Minute),
				func(hike.Announcement, *signup.SignUp) {}); err != nil {
				return err
			}
		}
	}
	return nil
}

// news returns the mails about the decision, each with its reminder: first to the staff
// except for the leader, who made it, then to the participants.
func (o *outing) news(places []signup.SignUp, before hike.Published, base string) (hike.Announcing, []message.Mail,
	error) {
	n := hike.Announcing{Telling: hike.NewAnnouncement(o.hike, before, false)}
	var letters []message.Mail
	tell := func(to hike.Recipient, p signup.SignUp) error {
		list, err := o.tellOne(&to, p, base)
		n.To, letters = append(n.To, to), append(letters, list...)
		return err
	}
	for _, m := range o.hike.StaffToTell(o.hike.Staff[0].Account) {
		if err := tell(hike.Recipient{Account: m.Account},
			signup.SignUp{ID: m.Person, Name: m.Name, Email: address(m.Name)}); err != nil {
			return n, nil, err
		}
	}
	for _, p := range places {
		if p.HearsAnnouncements() {
			if err := tell(hike.Recipient{SignUp: p.ID}, p); err != nil {
				return n, nil, err
			}
		}
	}
	return n, letters, nil
}

func (o *outing) tellOne(to *hike.Recipient, p signup.SignUp, base string) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	letter := o.place(p, secret, base)
	letter.Link = base + "/updates/" + secret.Reveal()
	d := message.Decision{Edition: fmt.Sprintf("%d-%d", o.hike.ID, o.hike.Decision.At.UnixMilli()),
		What: o.hike.Decision.Says(), Because: o.hike.Decision.Reason, Staff: to.Account != 0}
	for _, c := range o.changes {
		d.Changes = append(d.Changes, c.Says())
	}
	first, err := message.Decided(letter, d)
	if err != nil {
		return nil, err
	}
	d.Again = true
	again, err := message.Decided(letter, d)
	to.Link, to.Reminder = hash[:], again.Key
	to.Remind, _ = o.hike.Rules().RemindAt(o.hike.Decision.At, o.hike.Meet)
	again.NextTry = to.Remind
	return []message.Mail{first, again}, err
}
