package notify

import (
	"context"
	"fmt"
	"log/slog"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// Store reads hikes and their sign-ups, and moves sign-ups. Its methods are those of
// hike.Store.
type Store interface {
	House(ctx context.Context) (rules.House, error)
	Trail(ctx context.Context, id ref.Trail) (trail.Trail, error)
	Hike(ctx context.Context, id ref.Hike) (hike.Hike, error)
	Hikes(ctx context.Context, from, to time.Time) ([]hike.Listed, error)
	LatestPlan(ctx context.Context, id ref.Hike) (hike.StoredPlan, error)
	SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error)
	ChangeSignUp(
		ctx context.Context, id string, now time.Time, change func(*signup.SignUp) error, mails ...hike.Mails,
	) (moved []signup.SignUp, err error)
	ServePlaces(
		ctx context.Context, id ref.Hike, now time.Time, mails ...hike.Mails,
	) (moved []signup.SignUp, err error)
}

// AccountStore finds people who sign in, and stores private links. Its methods are those of
// account.Store.
type AccountStore interface {
	Accounts(ctx context.Context) ([]account.Account, error)
	AccountByID(ctx context.Context, id account.ID) (account.Account, error)
	AddLink(ctx context.Context, l account.Link) error
}

// Outbox takes mail that is sent later. Queue is that of message.Outbox.
type Outbox interface {
	Queue(ctx context.Context, now time.Time, mails ...message.Mail) error
}

// Choices tells which mail people have stopped. Choice is that of message.Choices.
type Choices interface {
	Choice(ctx context.Context, address string, t message.Topic) (message.Choice, error)
}

// Config is what a Notifier needs.
type Config struct {
	Store    Store
	Accounts AccountStore
	Staff    staffing.BookStore // certificates of leaders
	Rides    ride.Store
	Rolls    watch.RecordStore
	Outbox   Outbox
	Choices  Choices
	Calendar calendar.Store // numbers calendar entries
	BaseURL  string         // links in messages begin with it
	MailFrom string         // the address that mail comes from, the organizer of calendar entries; may be empty
	Now      func() time.Time
	Log      *slog.Logger
}

// Notifier composes and queues the mail about hikes and the places on them.
type Notifier struct {
	store    Store
	accounts AccountStore
	staff    staffing.BookStore
	rides    ride.Store
	rolls    watch.RecordStore
	outbox   Outbox
	choices  Choices
	calendar calendar.Store
	baseURL  string
	mailFrom string
	now      func() time.Time
	log      *slog.Logger
}

// New returns a Notifier, or an error that names every part that is missing.
func New(c Config) (*Notifier, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	return &Notifier{
		store:    c.Store,
		accounts: c.Accounts,
		staff:    c.Staff,
		rides:    c.Rides,
		rolls:    c.Rolls,
		outbox:   c.Outbox,
		choices:  c.Choices,
		calendar: c.Calendar,
		baseURL:  c.BaseURL,
		mailFrom: c.MailFrom,
		now:      c.Now,
		log:      c.Log,
	}, nil
}

func (c Config) check() error {
	var missing []string
	for _, part := range []struct {
		name    string
		missing bool
	}{
		{"store", c.Store == nil},
		{"accounts", c.Accounts == nil},
		{"staff", c.Staff == nil},
		{"rides", c.Rides == nil},
		{"rolls", c.Rolls == nil},
		{"outbox", c.Outbox == nil},
		{"choices", c.Choices == nil},
		{"calendar", c.Calendar == nil},
		{"clock", c.Now == nil},
		{"log", c.Log == nil},
	} {
		if part.missing {
			missing = append(missing, part.name)
		}
	}
	if len(missing) > 0 {
		return fmt.Errorf("notifier: not given: %s", strings.Join(missing, ", "))
	}
	return nil
}

// load loads what the mails about one hike need.
func (n *Notifier) load(ctx context.Context, h hike.Hike) (hike.Data, error) {
	return watch.LoadData(ctx, n.store, n.rolls, h, n.now())
}

// Send queues a mail, unless composing it failed with err. What the mail tells of is stored
// by then and shown on a page, so an error is logged and undoes nothing.
func (n *Notifier) Send(ctx context.Context, m message.Mail, err error) {
	if err == nil {
		err = n.outbox.Queue(ctx, n.now(), m)
	}
	if err != nil {
		n.log.Error("queue mail", "key", m.Key, "err", err)
	}
}

// group is the name of the organization that mail is written for.
func (n *Notifier) group(ctx context.Context) string {
	house, err := n.store.House(ctx)
	if err != nil {
		return defaultGroup
	}
	return groupName(house)
}

// defaultGroup signs the mail of a house that has not given its name.
const defaultGroup = "Saltbush"

func groupName(h rules.House) string {
	if h.Organisation == "" {
		return defaultGroup
	}
	return h.Organisation
}
