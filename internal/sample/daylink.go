package sample

import (
	"context"
	"crypto/rand"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/team"
)

// addDayLinks adds two day links to each hike that is out now: one that a helper without an
// account has used, and one that was withdrawn. Nobody knows their secrets.
func (l *loader) addDayLinks(ctx context.Context, o *outing) error {
	lead, ok := o.hike.StaffOf(team.Leader)
	if !ok || !o.isOut(l.now) {
		return nil
	}
	for _, link := range []account.DayLink{
		{Name: "Ines Tavares-Holm", Part: account.DayOnCall, LastUsed: o.hike.Meet.Add(-40 * time.Minute)},
		{Name: "Barnaby Okafor", Part: account.DaySweep, Withdrawn: o.hike.Meet.Add(-2 * time.Hour)},
	} {
		if err := l.addDayLink(ctx, o, lead.Name, link); err != nil {
			return err
		}
	}
	return nil
}

// isOut reports whether the party is out: the hike started in the last 24 hours and is not
// over.
func (o *outing) isOut(now time.Time) bool {
	start := o.hike.Start
	return !o.closes && o.calledOff == "" && start.Before(now) && now.Sub(start) < 24*time.Hour
}

func (l *loader) addDayLink(ctx context.Context, o *outing, by string, link account.DayLink) error {
	_, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	link.Hash, link.Hike, link.MadeBy = hash, o.hike.ID, by
	link.Made, link.Expires = o.hike.Meet.Add(-14*time.Hour), o.hike.Start.Add(account.DayLinkAtMost)
	if err := l.Accounts.AddDayLink(ctx, link); err != nil {
		return err
	}
	made, err := l.Accounts.DayLinkByHash(ctx, hash)
	if err != nil {
		return err
	}
	if !link.Withdrawn.IsZero() {
		return l.Accounts.WithdrawDayLink(ctx, o.hike.ID, made.ID, link.Withdrawn)
	}
	return l.Accounts.DayLinkUsed(ctx, made.ID, link.LastUsed)
}
