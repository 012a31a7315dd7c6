package notify

import (
	"context"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/supply"
)

// remindEve mails what to bring to everybody with a place on a hike that goes tomorrow,
// unless they have stopped such mail. The mail's key makes it go once.
func (n *Notifier) remindEve(ctx context.Context, h hike.Hike, now time.Time) error {
	if !h.RemindsEve(now) {
		return nil
	}
	t, err := n.load(ctx, h)
	if err != nil || t.Plan == nil {
		return err
	}
	var mails []message.Mail
	for _, p := range t.SignUps {
		if p.State != signup.Confirmed {
			continue
		}
		m, wanted, err := n.eveMail(ctx, t, p)
		if err != nil {
			return err
		}
		if wanted {
			mails = append(mails, m)
		}
	}
	return n.outbox.Queue(ctx, now, mails...)
}

func (n *Notifier) eveMail(ctx context.Context, t hike.Data, p signup.SignUp) (message.Mail, bool, error) {
	m, err := message.Remind(n.letterFrom(ctx, t, p, ""), reminder(t))
	if err != nil {
		return m, false, err
	}
	return n.stoppable(ctx, m, message.Eve)
}

// reminder lists what to bring, in both systems of units: a sign-up does not say which one
// its reader uses.
func reminder(t hike.Data) message.Reminder {
	carry := t.Plan.Water.Carry
	water := hike.InBothUnits(func(u format.System) string { return format.Volume(carry, u) })
	r := message.Reminder{
		Edition: "eve",
		Water:   water + ": " + supply.Bottles(carry),
		Food:    "about " + format.Energy(t.Plan.Food.Carry) + ", salty and in small bags",
		Refused: t.Refused(format.Metric),
	}
	if heat := t.Plan.Heat; !heat.PeakAt.Time.IsZero() {
		peak := hike.InBothUnits(func(u format.System) string { return format.Temperature(heat.PeakAir, u) })
		r.Weather = "up to " + peak + "; the hardest hour is about " + format.Clock(heat.PeakAt.Time, t.Zone())
	}
	if at := t.Clocks.Turn; !at.IsZero() {
		r.TurnBack = format.Clock(at, t.Zone()) + ", wherever we are"
		if t.Clocks.TurnAt != "" {
			r.TurnBack += ", and no farther than " + t.Clocks.TurnAt
		}
	}
	for _, k := range signup.Kit() {
		r.Bring = append(r.Bring, k.What)
	}
	return r
}
