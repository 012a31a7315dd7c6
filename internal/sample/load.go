package sample

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"sync"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/trail"
)

// Scenario is the season before it is stored.
type Scenario struct {
	now    time.Time
	ways   []trail.Trail
	files  []Track
	season *season
	hash   string // of the password of all accounts
}

// Prepare computes the season around now: tracks, plans, people and rolls.
func Prepare(ctx context.Context, now time.Time) (*Scenario, error) {
	ways, files, err := trails(now.AddDate(-1, 0, 0))
	if err != nil {
		return nil, err
	}
	season, err := newSeason(now, ways)
	if err != nil {
		return nil, err
	}
	hash, err := account.NewHasher(1).Hash(ctx, password)
	return &Scenario{now: now, ways: ways, files: files, season: season, hash: hash}, err
}

// loader stores the scenario.
type loader struct {
	Stores
	*Scenario
	accounts []account.ID // in the order of crew
	trails   []ref.Trail  // in the order of ways
}

// load stores everything. The coordinator's account comes last, so it marks a complete load.
func (l *loader) load(ctx context.Context, known []account.Account) error {
	return inOrder(
		func() error { return l.saveHouse(ctx) },
		func() error { return l.addLeaders(ctx, known, l.hash) },
		func() error { return l.addTrails(ctx, l.ways, l.files) },
		func() error { return l.addOutings(ctx, l.season.outings) },
		func() error { return l.addCards(ctx, l.season.outings) },
		func() error { return l.queue(ctx, l.season.outings) },
		func() error { return l.tellSwap(ctx) },
		func() error { return l.addStaffRecords(ctx) },
		func() error { return l.addCoordinators(ctx, l.hash) },
	)
}

// house returns the settings of the invented group.
func house() rules.House {
	return rules.House{Organisation: organization, Emergency: "911", Zone: zone}
}

// saveHouse stores the house and changes two of its rules: one to more caution, and one to
// more risk, with a reason.
func (l *loader) saveHouse(ctx context.Context) error {
	if err := l.Hikes.SaveHouse(ctx, house()); err != nil {
		return err
	}
	set := func(of func(*rules.Rules) *time.Duration, to time.Duration, reason string, months int) error {
		return l.Hikes.ChangeHouse(ctx, func(h *rules.House) ([]rules.HouseChange, error) {
			rules := h.Rules
			*of(&rules) = to
			return h.Rule(rules, reason, crew()[desk].Name, l.now.AddDate(0, -months, 0))
		})
	}
	return inOrder(
		func() error {
			return set(func(r *rules.Rules) *time.Duration { return &r.KeepPlates }, 7*24*time.Hour, "", 4)
		},
		func() error {
			return set(func(r *rules.Rules) *time.Duration { return &r.Grace }, 15*time.Minute,
				"The last miles in are washboard and cars come late; there is shade at most lots to wait in.", 2)
		},
	)
}

// inOrder runs steps until one fails.
func inOrder(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// addLeaders creates the accounts that the hikes need, except existing ones.
func (l *loader) addLeaders(ctx context.Context, known []account.Account, hash string) error {
	ids := map[string]account.ID{}
	for _, a := range known {
		ids[a.Email] = a.ID
	}
	for _, a := range crew()[:desk] {
		if ids[a.Email] == 0 {
			a.Roles = []account.Role{account.Leader} // the coordinator's role comes last
			made, err := l.addAccount(ctx, a, hash)
			if err != nil {
				return err
			}
			ids[a.Email] = made.ID
		}
		l.accounts = append(l.accounts, ids[a.Email])
	}
	return nil
}

func (l *loader) addAccount(ctx context.Context, a account.Account, hash string) (account.Account, error) {
	a.PasswordHash, a.Created = hash, l.now.AddDate(0, -8, 0)
	return l.Accounts.CreateAccount(ctx, a)
}

func (l *loader) addCoordinators(ctx context.Context, hash string) error {
	if _, err := l.addAccount(ctx, crew()[desk], hash); err != nil {
		return err
	}
	a, err := l.Accounts.AccountByID(ctx, l.accounts[both])
	if err != nil {
		return err
	}
	if err := l.addSecondStep(ctx, a.ID); err != nil {
		return err
	}
	a.Roles = crew()[both].Roles
	return l.Accounts.UpdateAccount(ctx, a)
}

// addSecondStep gives an account a second step with a key that nobody knows.
func (l *loader) addSecondStep(ctx context.Context, id account.ID) error {
	key, err := account.NewCodeKey(rand.Reader)
	if err != nil {
		return err
	}
	var failed error
	err = l.Accounts.ChangeTwoStep(ctx, id, func(t *account.TwoStep) {
		*t = account.TwoStep{Key: key, Since: l.now.AddDate(0, -2, 0)}
		_, failed = t.NewRecovery(rand.Reader)
	})
	return errors.Join(err, failed)
}

// addTrails stores the trails, except existing ones.
func (l *loader) addTrails(ctx context.Context, list []trail.Trail, files []Track) error {
	known, err := l.Hikes.Trails(ctx)
	if err != nil {
		return err
	}
	ids := map[string]ref.Trail{}
	for _, t := range known {
		ids[t.Name] = t.ID
	}
	for i, t := range list {
		id := ids[t.Name]
		if id == 0 {
			if id, err = l.Hikes.AddTrail(ctx, t, files[i].GPX); err != nil {
				return err
			}
			if err := l.addNormals(ctx, id, i); err != nil {
				return err
			}
		}
		l.trails = append(l.trails, id)
	}
	return nil
}

// addNormals stores the monthly weather, except for the traverse, to show a trail without it.
func (l *loader) addNormals(ctx context.Context, id ref.Trail, way int) error {
	if way == traverse {
		return nil
	}
	return l.Hikes.SaveNormals(ctx,
		trail.TrailNormals{Trail: id, Normals: monthly(), Typed: l.now.AddDate(0, -5, 0), By: crew()[desk].Name,
			Source: "Twenty years of the reserve desk's own weather book."})
}

// atOnce is how many hikes are stored concurrently.
// Our judgment: enough to keep a small database busy.
const atOnce = 4

// addOutings stores the hikes in order, so that their ids are, then fills them concurrently.
func (l *loader) addOutings(ctx context.Context, outings []outing) error {
	for i := range outings {
		if err := l.addHike(ctx, &outings[i]); err != nil {
			return err
		}
	}
	errs := make([]error, atOnce)
	var workers sync.WaitGroup
	for n := range atOnce {
		workers.Go(func() {
			for i := n; i < len(outings) && errs[n] == nil; i += atOnce {
				errs[n] = l.fill(ctx, &outings[i])
			}
		})
	}
	workers.Wait()
	return errors.Join(errs...)
}

func (l *loader) addHike(ctx context.Context, o *outing) (err error) {
	o.hike.Trail = l.trails[o.trail]
	for i, m := range o.hike.Staff {
		o.hike.Staff[i].Account = l.accounts[m.Account]
	}
	o.hike.ID, err = l.Hikes.AddHike(ctx, o.hike)
	return err
}

// fill stores everything about a hike and brings it to its state.
func (l *loader) fill(ctx context.Context, o *outing) error {
	err := inOrder(
		func() error { return l.savePlan(ctx, o) },
		func() error { return l.signUp(ctx, o) },
		func() error { return l.addCars(ctx, o) },
		func() error { return l.keepRoll(ctx, o) },
		func() error { return l.addDayLinks(ctx, o) },
		func() error { return l.finish(ctx, o) },
	)
	if err != nil {
		return fmt.Errorf("hike %q: %w", o.hike.Title, err)
	}
	return nil
}

func (l *loader) savePlan(ctx context.Context, o *outing) error {
	if o.plan == nil {
		return nil
	}
	p := *o.plan
	p.Hike, p.Inputs.Trail = o.hike.ID, o.hike.Trail
	return l.Hikes.SavePlan(ctx, p)
}

// signUp stores the sign-ups, each at the time when the person asked.
func (l *loader) signUp(ctx context.Context, o *outing) error {
	for _, p := range o.places {
		p.Hike = o.hike.ID
		if l.now.Sub(o.hike.Start) > cardsKept {
			p.Needs = "" // would have been deleted
		}
		if _, err := l.Hikes.SignUp(ctx, p, p.Asked); err != nil {
			return err
		}
	}
	return nil
}

func (l *loader) keepRoll(ctx context.Context, o *outing) error {
	if len(o.events) == 0 {
		return nil
	}
	rec, err := l.Rolls.Append(ctx, o.hike.ID, o.events, o.received)
	if err != nil || !o.closes {
		return err
	}
	return l.Hikes.ChangeHike(ctx, o.hike.ID, func(h *hike.Hike) error { return h.Close(rec.State().CanClose()) })
}

func (l *loader) finish(ctx context.Context, o *outing) error {
	if o.calledOff == "" {
		return nil
	}
	return l.Hikes.ChangeHike(ctx, o.hike.ID, func(h *hike.Hike) error { return h.CallOff(o.calledOff) })
}

// lettersFrom is how many coming hikes have mail in the outbox.
// Our judgment: enough to see what the mail looks like.
const lettersFrom = 3

// queue puts the mail of the first coming hikes into the outbox.
func (l *loader) queue(ctx context.Context, outings []outing) error {
	var mails []message.Mail
	hikes := 0
	for i := range outings {
		o := &outings[i]
		if !o.hike.TakesSignUps(l.now) || hikes == lettersFrom {
			continue
		}
		hikes++
		list, err := o.letters(l.BaseURL)
		if err != nil {
			return err
		}
		mails = append(mails, list...)
	}
	return l.Outbox.Queue(ctx, l.now, mails...)
}
