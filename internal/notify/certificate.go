package notify

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/staffing"
	"saltbush/internal/unit"
)

// RemindStaff queues every warning of an expiring certificate that is due, to its owner and
// to the coordinators. Each warning has its own key in the outbox, so it goes once however
// often this runs.
func (n *Notifier) RemindStaff(ctx context.Context) error {
	now := n.now()
	house, err := n.store.House(ctx)
	if err != nil {
		return err
	}
	zone, err := time.LoadLocation(house.Zone)
	if err != nil {
		return fmt.Errorf("the house's time zone: %w", err)
	}
	accounts, err := n.accounts.Accounts(ctx)
	if err != nil {
		return err
	}
	book, err := staffing.OpenBook(ctx, n.store, n.staff, now, now.AddDate(0, 0, staffing.GapsAhead+1))
	if err != nil {
		return err
	}
	var mails []message.Mail
	for _, r := range book.Reminders(now, unit.DateOf(now.In(zone))) {
		list, err := n.certificateMails(ctx, r, accounts, groupName(house))
		if err != nil {
			return err
		}
		mails = append(mails, list...)
	}
	return n.outbox.Queue(ctx, now, mails...)
}

func (n *Notifier) certificateMails(
	ctx context.Context, r staffing.Reminder, accounts []account.Account, group string,
) ([]message.Mail, error) {
	var mails []message.Mail
	for _, a := range accounts {
		own := a.ID == r.Account
		if !a.Active || !own && !a.Has(account.Coordinator) {
			continue
		}
		m, err := message.PaperEnds(n.certificate(r, a, group))
		if err != nil {
			return nil, err
		}
		m, wanted, err := n.stoppable(ctx, m, message.Papers)
		if err != nil {
			return nil, err
		}
		if wanted {
			mails = append(mails, m)
		}
	}
	return mails, nil
}

// certificate links the owner to their own page, and a coordinator to the owner's.
func (n *Notifier) certificate(r staffing.Reminder, to account.Account, group string) message.Certificate {
	link := n.baseURL + "/mine"
	if to.ID != r.Account {
		link = fmt.Sprintf("%s/staff/people/%d", n.baseURL, r.Account)
	}
	return message.Certificate{
		Ref:   fmt.Sprintf("%s/%d", r.Key, to.ID),
		To:    to.Email,
		Name:  to.Name,
		Group: group,
		Of:    r.Kind + " of " + r.Name,
		Says:  r.Says(),
		Link:  link,
	}
}
