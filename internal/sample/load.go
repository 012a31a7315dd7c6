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

// Scenario is the season worked out, before anything is stored.
type Scenario struct {
	now    time.Time
	ways   []trail.Trail
	files  []Track
	season *season
	hash   string // of the password that all accounts share
}

// Prepare works the season out around now: tracks, plans, people and rolls.
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
	accounts []account.ID // by their place in crew
	trails   []ref.Trail  // by their place in ways
}

// load stores everything; the coordinator's account comes last and so says that all is
// there.
func (l *loader) load(ctx context.Context, known []account.Account) error {
	return inOrder(
		func() error { return l.settle(ctx) },
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

// house is what the invented group says of itself.
func house() rules.House {
	return rules.House{Organisation: organisation, Emergency: "911", Zone: zone}
}

// settle begins the house, and changes two of its rules as a house does: one toward
// caution, one toward risk with its reason.
func (l *loader) settle(ctx context.Context) error {
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
			return set(func(r *rules.Rules) *time.Duration { return &r.Grace }, 15*time.Minute, "The last miles in are washboard and cars come late; there is shade at most lots to wait in.", 2)
		},
	)
}

func inOrder(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// addLeaders makes the accounts that hikes need, or takes those that are there.
func (l *loader) addLeaders(ctx context.Context, known []account.Account, hash string) error {
	ids := map[string]account.ID{}
	for _, a := range known {
		ids[a.Email] = a.ID
	}
	for _, a := range crew()[:desk] {
		if ids[a.Email] == 0 {
			a.Roles = []account.Role{account.Leader} // who coordinates too is told later
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

// addSecondStep gives an account a second step, whose key nobody knows.
func (l *loader) addSecondStep(ctx context.Context, id account.ID) error {
	key, err := account.NewCodeKey(rand.Reader)
	if err != nil {
		return err
	}
	var fault error
	err = l.Accounts.ChangeTwoStep(ctx, id, func(t *account.TwoStep) {
		*t = account.TwoStep{Key: key, Since: l.now.AddDate(0, -2, 0)}
		_, fault = t.NewRecovery(rand.Reader)
	})
	return errors.Join(err, fault)
}

// addTrails stores the trails, or takes those that are there.
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

// addNormals stores the usual days of the months, but not for the traverse, whose far
// trailhead nobody has figures for.
func (l *loader) addNormals(ctx context.Context, id ref.Trail, way int) error {
	if way == traverse {
		return nil
	}
	return l.Hikes.SaveNormals(ctx, trail.TrailNormals{Trail: id, Normals: monthly(), Typed: l.now.AddDate(0, -5, 0), By: crew()[desk].Name,
		Source: "Twenty years of the reserve desk's own weather book."})
}

// House judgement: enough at once to keep a small database busy.
const atOnce = 4

// addOutings stores the hikes a few at once; the numbers of all are known first, in order.
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

// fill stores what belongs to a hike and brings it to its state.
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

// signUp asks for the places as people did, at the times when they did.
func (l *loader) signUp(ctx context.Context, o *outing) error {
	for _, p := range o.places {
		p.Hike = o.hike.ID
		if l.now.Sub(o.hike.Start) > cardsKept {
			p.Needs = "" // its time is over
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
	rec, err := l.Rolls.Append(ctx, o.hike.ID, o.events, o.heard)
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

// House judgement: enough mail to see what it looks like.
const lettersFrom = 3

// queue puts the letters of the first hikes to come into the outbox.
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
