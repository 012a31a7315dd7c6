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

// remindEve writes to everybody with a place on a hike that goes tomorrow what to bring,
// once, unless they asked for no such mails.
func (s *Notifier) remindEve(ctx context.Context, h hike.Hike, now time.Time) error {
	if !h.RemindsEve(now) {
		return nil
	}
	t, err := s.load(ctx, h)
	if err != nil || t.Plan == nil {
		return err
	}
	var mails []message.Mail
	for _, p := range t.SignUps {
		if p.State != signup.Confirmed {
			continue
		}
		m, wanted, err := s.eveMail(ctx, t, p)
		if err != nil {
			return err
		}
		if wanted {
			mails = append(mails, m)
		}
	}
	return s.Outbox.Queue(ctx, now, mails...)
}

func (s *Notifier) eveMail(ctx context.Context, t hike.Data, p signup.SignUp) (message.Mail, bool, error) {
	letter := s.Letter(ctx, t.Hike, p, "")
	letter.Finish, letter.Where = t.Finish(), t.Where()
	m, err := message.Remind(letter, reminder(t))
	if err != nil {
		return m, false, err
	}
	return s.stoppable(ctx, m, message.Eve)
}

// reminder is what to bring, in both systems of units: it is not known which the reader
// thinks in.
func reminder(t hike.Data) message.Reminder {
	both := func(f func(format.System) string) string { return f(format.Metric) + " (" + f(format.US) + ")" }
	r := message.Reminder{Edition: "eve",
		Water: both(func(u format.System) string { return format.Volume(t.Plan.Water.Carry, u) }) + ": " + supply.Bottles(t.Plan.Water.Carry),
		Food:  "about " + format.Energy(t.Plan.Food.Carry) + ", salty and in small bags", Refused: t.Refused(format.Metric)}
	if hot := t.Plan.Heat; !hot.PeakAt.Time.IsZero() {
		r.Weather = "up to " + both(func(u format.System) string { return format.Temperature(hot.PeakAir, u) }) + "; the hardest hour is about " + format.Clock(hot.PeakAt.Time, t.Zone())
	}
	if at := t.Plan.Turnaround.At.Time; !at.IsZero() {
		r.TurnBack = format.Clock(at, t.Zone()) + ", wherever we are"
	}
	for _, k := range signup.Kit() {
		r.Bring = append(r.Bring, k.What)
	}
	return r
}
