package site

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/rules"
	"saltbush/internal/staffing"
	"saltbush/internal/unit"
)

// House judgement: warnings count days, so an hour late is on time.
const remindEvery = time.Hour

// RemindStaff queues every warning of a certificate that is due, to the person and to the
// coordinators. Each warning has its own key in the outbox, so it goes once however often
// it is found.
func (s *Site) RemindStaff(ctx context.Context) error {
	now := s.now()
	house, err := s.db.House(ctx)
	if err != nil {
		return err
	}
	zone, err := time.LoadLocation(house.Zone)
	if err != nil {
		return fmt.Errorf("the house's time zone: %w", err)
	}
	accounts, err := s.db.AccountStore().Accounts(ctx)
	if err != nil {
		return err
	}
	book, err := staffing.OpenBook(ctx, s.db, s.db, now, now.AddDate(0, 0, staffing.GapsAhead+1))
	if err != nil {
		return err
	}
	var mails []message.Mail
	for _, r := range book.Reminders(now, unit.DateOf(now.In(zone))) {
		list, err := s.paperMails(ctx, r, accounts, house)
		if err != nil {
			return err
		}
		mails = append(mails, list...)
	}
	return s.db.Outbox().Queue(ctx, now, mails...)
}

func (s *Site) paperMails(
	ctx context.Context, r staffing.Reminder, accounts []account.Account, house rules.House,
) ([]message.Mail, error) {
	group := cmp.Or(house.Organisation, "Saltbush")
	var mails []message.Mail
	for _, a := range accounts {
		own := a.ID == r.Account
		if !a.Active || !own && !a.Has(account.Coordinator) {
			continue
		}
		p := message.Part{
			Ref:   fmt.Sprintf("%s/%d", r.Key, a.ID),
			To:    a.Email,
			Name:  a.Name,
			Hike:  "-",
			Day:   r.Through.Words(),
			Group: group,
			Part:  r.Kind + " of " + r.Name,
			Link:  s.base + "/mine",
		}
		if !own {
			p.Link = fmt.Sprintf("%s/staff/people/%d", s.base, r.Account)
		}
		m, err := message.PaperEnds(p, r.Says())
		if err != nil {
			return nil, err
		}
		choice, err := s.db.Choice(ctx, m.To, message.Papers)
		if err != nil {
			return nil, err
		}
		mails = append(mails, m.Stoppable(message.Papers, s.base+"/mail/"+choice.Token))
	}
	return mails, nil
}
