package notify_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
	"saltbush/internal/watch"
)

// fake is every store of a Notifier at once, with one hike on one trail.
type fake struct {
	house    rules.House
	trail    trail.Trail
	hike     hike.Hike
	plan     *plan.Plan
	places   []signup.SignUp
	accounts []account.Account
	people   []team.Qualification
	links    []account.Link
	book     ride.Book
	mails    []message.Mail
	stopped  []string // addresses that want no mail with a topic
	numbered map[string]calendar.Event
	now      time.Time
	log      bytes.Buffer
}

// start is when the hike of a fake starts: a Saturday, half past six.
func start() time.Time {
	return time.Date(2026, 5, 2, 6, 30, 0, 0, phoenix())
}

func phoenix() *time.Location { return time.FixedZone("MST", -7*60*60) }

func newFake() *fake {
	return &fake{
		house: rules.House{Organisation: "Cinder Hills Walkers", Zone: "America/Phoenix"},
		trail: trail.Trail{ID: 3, Name: "Dry Fork", Meeting: "left at the tank", Zone: "America/Phoenix",
			Surface: walk.Firm},
		hike: hike.Hike{
			ID: 9, Trail: 3, Title: "Dry Fork at dawn", State: hike.Posted, Places: 10, Pace: walk.Ordinary,
			Meet: start().Add(-30 * time.Minute), Start: start(),
			Staff: []team.Staff{
				{Person: "lead", Account: 1, Name: "Juniper Vale", Role: team.Leader, Answer: team.AnswerAccepted},
				{Person: "last", Account: 2, Name: "Ash Moreno", Role: team.Sweep},
			},
			OnCall: team.Contact{Name: "Rosa Lind", Phone: "602-555-0101", Email: "rosa@example.org"},
		},
		places: []signup.SignUp{
			{ID: "wren", Hike: 9, State: signup.Confirmed, Name: "Wren Abara", Email: "wren@example.org"},
			{ID: "amaya", Hike: 9, State: signup.Waiting, Name: "Amaya Reyes", Email: "amaya@example.org"},
		},
		accounts: []account.Account{
			{ID: 1, Name: "Juniper Vale", Email: "juniper@example.org", Active: true,
				Roles: []account.Role{account.Leader}},
			{ID: 2, Name: "Ash Moreno", Email: "ash@example.org", Active: true, Roles: []account.Role{account.Leader}},
			{ID: 4, Name: "Teo Barr", Email: "teo@example.org", Active: true,
				Roles: []account.Role{account.Coordinator}},
			{ID: 5, Name: "Gone", Email: "gone@example.org", Roles: []account.Role{account.Coordinator}},
		},
		numbered: map[string]calendar.Event{},
		now:      start().Add(-20 * time.Hour),
	}
}

// config is everything that a Notifier needs, all of it the fake.
func (f *fake) config() notify.Config {
	return notify.Config{
		Store: f, Accounts: f, Staff: f, Rides: f, Rolls: f, Outbox: f, Choices: f, Calendar: f,
		BaseURL: "https://hikes.example.org", Now: func() time.Time { return f.now },
		Log: slog.New(slog.NewTextHandler(&f.log, nil)),
	}
}

func (f *fake) notifier(t *testing.T) *notify.Notifier {
	t.Helper()
	n, err := notify.New(f.config())
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// to lists the addresses that got mail, in order.
func (f *fake) to() []string {
	var list []string
	for _, m := range f.mails {
		list = append(list, m.To)
	}
	slices.Sort(list)
	return list
}

// text is everything that was mailed, with single spaces.
func (f *fake) text() string {
	var all []string
	for _, m := range f.mails {
		all = append(all, m.Subject, strings.Join(strings.Fields(m.Text), " "))
	}
	return strings.Join(all, "\n")
}

// planned gives the hike a computed plan.
func (f *fake) planned(t *testing.T) {
	t.Helper()
	var fixes []track.Fix
	for i := range 200 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+float64(i)*1e-4, -112), Elevation: 600, HasElevation: true})
	}
	var err error
	f.trail.Profile, err = track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	f.hike.Forecast = &plan.Forecast{Low: 12, High: 27, DewPoint: 4, Wind: 2, Cloud: 0.1}
	stored, err := hike.PlanFor(f.hike, f.trail, "Juniper Vale", f.now)
	if err != nil {
		t.Fatal(err)
	}
	f.plan = &stored.Plan
}

func (f *fake) House(context.Context) (rules.House, error)            { return f.house, nil }
func (f *fake) Trail(context.Context, ref.Trail) (trail.Trail, error) { return f.trail, nil }
func (f *fake) Hike(context.Context, ref.Hike) (hike.Hike, error)     { return f.hike, nil }

func (f *fake) Hikes(context.Context, time.Time, time.Time) ([]hike.Listed, error) {
	return []hike.Listed{{Hike: f.hike, Trail: f.trail, Plan: f.plan}}, nil
}

func (f *fake) LatestPlan(context.Context, ref.Hike) (hike.StoredPlan, error) {
	if f.plan == nil {
		return hike.StoredPlan{}, fault.ErrNotFound
	}
	return hike.StoredPlan{Plan: *f.plan}, nil
}

func (f *fake) SignUps(context.Context, ref.Hike) ([]signup.SignUp, error) {
	return slices.Clone(f.places), nil
}

func (f *fake) ChangeSignUp(
	ctx context.Context, id string, now time.Time, change func(*signup.SignUp) error, mails ...hike.Mails,
) ([]signup.SignUp, error) {
	i := slices.IndexFunc(f.places, func(p signup.SignUp) bool { return p.ID == id })
	if err := change(&f.places[i]); err != nil {
		return nil, err
	}
	return nil, f.queueAll(ctx, now, f.places[i:i+1], mails)
}

func (f *fake) ServePlaces(context.Context, ref.Hike, time.Time, ...hike.Mails) ([]signup.SignUp, error) {
	return nil, nil
}

func (f *fake) queueAll(ctx context.Context, now time.Time, changed []signup.SignUp, mails []hike.Mails) error {
	for _, compose := range mails {
		list, err := compose(ctx, changed)
		if err != nil {
			return err
		}
		if err := f.Queue(ctx, now, list...); err != nil {
			return err
		}
	}
	return nil
}

func (f *fake) Accounts(context.Context) ([]account.Account, error) { return f.accounts, nil }

func (f *fake) AccountByID(_ context.Context, id account.ID) (account.Account, error) {
	for _, a := range f.accounts {
		if a.ID == id {
			return a, nil
		}
	}
	return account.Account{}, account.ErrNotFound
}

func (f *fake) AddLink(_ context.Context, l account.Link) error {
	f.links = append(f.links, l)
	return nil
}

func (f *fake) CertificateKinds(context.Context) ([]team.CertificateKind, error) { return nil, nil }
func (f *fake) Qualifications(context.Context) ([]team.Qualification, error)     { return f.people, nil }
func (f *fake) Roads(context.Context) (trail.Roads, error)                       { return trail.Roads{}, nil }
func (f *fake) RideBook(context.Context, ref.Hike) (ride.Book, error)            { return f.book, nil }
func (f *fake) PlacesOf(context.Context, []ref.Hike) (map[ref.Hike][]signup.SignUp, error) {
	return map[ref.Hike][]signup.SignUp{f.hike.ID: f.places}, nil
}

func (f *fake) ChangeRides(
	_ context.Context, _ ref.Hike, change func(hike.Hike, []signup.SignUp, *ride.Book) error,
) error {
	return change(f.hike, f.places, &f.book)
}

// Queue passes over keys that it has, as an outbox does.
func (f *fake) Queue(_ context.Context, _ time.Time, mails ...message.Mail) error {
	for _, m := range mails {
		if !slices.ContainsFunc(f.mails, func(o message.Mail) bool { return o.Key == m.Key }) {
			f.mails = append(f.mails, m)
		}
	}
	return nil
}

func (f *fake) Choice(_ context.Context, address string, t message.Topic) (message.Choice, error) {
	c := message.Choice{Address: address, Topic: t, Token: "token-" + address}
	if slices.Contains(f.stopped, address) {
		c.Stopped = f.now
	}
	return c, nil
}

func (f *fake) Number(_ context.Context, now time.Time, events ...calendar.Event) ([]calendar.Event, error) {
	list := slices.Clone(events)
	for i, e := range list {
		known, is := f.numbered[e.UID]
		e.Stamp, e.Sequence = now, known.Sequence
		if is && known.Digest() != e.Digest() {
			e.Sequence++
		}
		f.numbered[e.UID], list[i] = e, e
	}
	return list, nil
}

func (f *fake) Record(context.Context, ref.Hike) (roll.Record, error) {
	return roll.Record{Hike: f.hike, Roster: roll.RosterOf(f.hike, f.places)}, nil
}

// hikeData is what LoadData would load.
func hikeData(f *fake) hike.Data {
	t := hike.Data{Hike: f.hike, Trail: f.trail, Plan: f.plan, SignUps: f.places, Now: f.now}
	t.Clocks = watch.Before(t).Clocks()
	return t
}

var errBroken = errors.New("connection lost")

// broken is a store that cannot serve places.
type broken struct{ *fake }

func (broken) ServePlaces(context.Context, ref.Hike, time.Time, ...hike.Mails) ([]signup.SignUp, error) {
	return nil, errBroken
}
