package postgres_test

import (
	"bytes"
	"context"
	"fmt"
	"saltbush/internal/party"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/retention"
	"saltbush/internal/retention/plant"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

// life is a closed hike with a planted word in every field of every class.
type life struct {
	db     *postgres.DB
	dsn    string
	hike   hike.Hike
	closed time.Time
	rules  rules.Rules
	adult  string
}

// people is how many sign-ups a life has.
const people = 3

// word is planted on the roll, in texts of a class.
func word(k retention.DataClass) string { return "planted-" + string(k[:4]) }

func live(t *testing.T, trouble bool) life {
	t.Helper()
	ctx := context.Background()
	l := life{rules: rules.DefaultRules()}
	l.rules.KeepMedical, l.rules.KeepPlates = 10*oneDay, 14*oneDay // so that each class has a day of its own
	l.db, l.dsn = sealing(t)
	l.hike = mustHike(t, l.db, 2)
	l.closed = l.hike.Start.Add(9 * time.Hour)
	l.adult = l.ask(t, 1, false)
	l.ask(t, 2, true)
	l.ask(t, 3, false) // waits, and never has a place
	l.walk(t, trouble)
	if err := l.db.Outbox().Queue(ctx, now, message.Mail{To: "a@example.org", Key: "k"}); err != nil {
		t.Fatal(err)
	}
	l.plantBeside(t)
	err := l.db.ChangeHike(ctx, l.hike.ID, func(h *hike.Hike) error {
		h.State = hike.Closed
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	l.sql(t, `UPDATE hikes SET closed = $2 WHERE id = $1`, l.hike.ID, l.closed)
	return l
}

// plantBeside plants in the tables beside signups.
func (l life) plantBeside(t *testing.T) {
	t.Helper()
	l.sql(t, `INSERT INTO rides (hike_id, person, shares, town, car, told)
		VALUES ($1, $2, $3, 'planted rides.town', '{"Plate": "planted rides.car"}', 'planted rides.told')`,
		l.hike.ID, l.adult, now)
	l.sql(t, `INSERT INTO day_links (hash, hike_id, name, part, made, made_by, expires)
		VALUES ('x', $1, 'planted day_links.name', 'sweep', $2, 'x', $2)`, l.hike.ID, now)
	l.sql(t, `INSERT INTO links (hash, purpose, subject, expires) VALUES ('planted', 'place', $1, $2)`, l.adult, now)
	l.sql(t, `
		WITH told AS (
			INSERT INTO announcements (hike_id, at, by_whom, outcome, words, consent)
			VALUES ($1, $3, 'x', 'go', 'x', false) RETURNING id
		)
		INSERT INTO announcement_recipients (announcement_id, signup_id, link, reminder, read)
		SELECT id, $2, 'x', '', $3 FROM told`, l.hike.ID, l.adult, now)
	l.sql(t, `
		UPDATE outbox SET
			recipient = 'planted outbox.recipient', subject = 'planted outbox.subject', body = 'planted outbox.body',
			attached = '[{"Name": "planted outbox.attached"}]', last_error = 'planted outbox.last_error',
			state = 'sent'`)
}

func (l life) sql(t *testing.T, sql string, args ...any) {
	t.Helper()
	if _, err := l.db.Pool().Exec(context.Background(), sql, args...); err != nil {
		t.Fatal(err)
	}
}

// ask signs somebody up, then plants a word in each of their fields.
func (l life) ask(t *testing.T, n int, minor bool) string {
	t.Helper()
	ctx := context.Background()
	s, first, planting := request(l.hike.ID, n), signup.SignUp{}, signup.SignUp{}
	plant.Fill(&first, 1)
	plant.Fill(&planting, n)
	s.Minor, s.Adult, s.Needs = minor, first.Name, planting.Needs
	s.Acknowledged, s.RiskVersion, s.RiskAccepted = true, "v1", now
	got, err := l.db.SignUp(ctx, s, now)
	if err != nil {
		t.Fatal(err)
	}
	_, err = l.db.ChangeSignUp(ctx, got.ID, now, func(s *signup.SignUp) error {
		needs := s.Needs // sealed: no change touches it
		plant.Fill(s, n)
		s.Needs, s.Car.Seats = needs, 3
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range retention.Fields() {
		if f.Stored() && f.At == nil {
			l.sql(t, `UPDATE signups SET `+f.Column+` = $2 WHERE id = $1`, got.ID, plant.Word(f, n))
		}
	}
	return got.ID
}

// walk records the day: a walk-up, a car, a count and a message.
func (l life) walk(t *testing.T, trouble bool) {
	t.Helper()
	at := func(m int) time.Time { return l.hike.Start.Add(time.Duration(m) * time.Minute) }
	walkUp := party.PersonID(uuid.NewString())
	adult := []party.PersonID{party.PersonID(l.adult)}
	names := word(retention.Names)
	events := []party.Event{
		{Kind: party.KindHere, At: at(-20), Persons: adult},
		{
			Kind:    party.KindJoined,
			At:      at(-10),
			Persons: []party.PersonID{walkUp},
			Name:    names + " walk-up",
			Contact: "planted-cont",
			Note:    "planted-cont",
			Agreed:  true,
		},
		{Kind: party.KindPlate, At: at(-5), Persons: adult, Plates: []string{"planted-plat"}},
		{
			Kind:    party.KindDeparted,
			At:      at(0),
			Persons: append(adult, walkUp),
			Number:  2,
			Note:    names + " note",
			Against: []string{names + " against"},
		},
		{Kind: party.KindCounted, At: at(60), Number: 2, Place: "Fork", SeenBy: names},
		{Kind: party.KindReported, At: at(70), Note: names + " report", To: names, Trouble: trouble},
		{Kind: party.KindBack, At: at(300), Persons: append(adult, walkUp)},
		{Kind: party.KindStoodDown, At: at(310)},
	}
	for i := range events {
		events[i].ID, events[i].By = party.EventID(uuid.NewString()), names+" recorder"
	}
	if _, err := l.db.Append(context.Background(), l.hike.ID, events, at(320)); err != nil {
		t.Fatal(err)
	}
}

// rows returns every row of every table but waivers as text, which takes a fraction of the
// time of a dump.
func (l life) rows(t *testing.T) []byte {
	t.Helper()
	ctx := context.Background()
	found, _ := l.db.Pool().Query(ctx,
		`SELECT quote_ident(tablename) FROM pg_tables WHERE schemaname = 'public' AND tablename <> 'waivers'`)
	tables, err := pgx.CollectRows(found, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	var each []string
	for _, name := range tables {
		each = append(each, fmt.Sprintf(`SELECT 'INTO public.%[1]s ' || r::text FROM %[1]s r`, name))
	}
	listed, _ := l.db.Pool().Query(ctx, strings.Join(each, " UNION ALL "))
	rows, err := pgx.CollectRows(listed, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return []byte(strings.Join(rows, "\n"))
}

// left reports what the database still has: fields of sign-ups by name, words on the roll and
// in messages, and tables whose rows are deleted. It ignores waivers.
func (l life) left(t *testing.T) map[string]bool {
	t.Helper()
	text := l.rows(t)
	left := map[string]bool{}
	for _, f := range retention.Fields() {
		if f.Planted == "" || f.Table != "" {
			continue
		}
		for n := range people {
			left[f.Name] = left[f.Name] || bytes.Contains(text, []byte(plant.Word(f, n+1)))
		}
	}
	for _, k := range []retention.DataClass{retention.Plates, retention.Contacts, retention.Names} {
		left["roll "+string(k)] = bytes.Contains(text, []byte(word(k)))
	}
	for _, c := range retention.Columns() {
		switch {
		case c.Class == retention.Messages:
			left[c.Table+"."+c.Name] = bytes.Contains(text, []byte("planted "+c.Table+"."+c.Name))
		case c.Rows:
			left["table "+c.Table] = bytes.Contains(text, []byte("INTO public."+c.Table+" "))
		}
	}
	return left
}

// classes returns the class of everything that left reports.
func classes() map[string]retention.DataClass {
	of := map[string]retention.DataClass{}
	for _, f := range retention.Fields() {
		if f.Planted != "" && f.Table == "" {
			of[f.Name] = f.Class
		}
	}
	for _, k := range []retention.DataClass{retention.Plates, retention.Contacts, retention.Names} {
		of["roll "+string(k)] = k
	}
	for _, c := range retention.Columns() {
		switch {
		case c.Class == retention.Messages:
			of[c.Table+"."+c.Name] = c.Class
		case c.Rows:
			of["table "+c.Table] = c.Class
		}
	}
	return of
}

// leftAfter is what left should report once some classes are deleted.
func leftAfter(gone ...retention.DataClass) map[string]bool {
	left := map[string]bool{}
	for what, class := range classes() {
		left[what] = !slices.Contains(gone, class)
	}
	return left
}

func (l life) numbers(t *testing.T) []any {
	t.Helper()
	rec, err := l.db.Record(context.Background(), l.hike.ID)
	if err != nil {
		t.Fatal(err)
	}
	s := rec.State()
	counts := s.Counts
	var where []party.Whereabouts
	for _, p := range s.People {
		where = append(where, p.Where)
	}
	return []any{
		s.Out, s.Expected, s.Departed, s.StoodDown, s.AllAccounted, counts, len(s.Reports), where, len(rec.Events),
	}
}

func (l life) retire(t *testing.T, at time.Time) []retention.Deletion {
	t.Helper()
	done, err := l.db.DeleteDue(context.Background(), at, l.rules, "the test")
	if err != nil {
		t.Fatal(err)
	}
	return done
}
