package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/localpg"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

// sealing opens a database with a key for its cards.
func sealing(t testing.TB) (*postgres.DB, string) {
	t.Helper()
	db, dsn := open(t)
	if err := db.TakeCardKey(context.Background(), card.NewKey(), false, now); err != nil {
		t.Fatal(err)
	}
	return db, dsn
}

func whole(word string) card.Card {
	return card.Card{
		Action: word + " action",
		Details: card.Details{Born: "1961-04-30", Conditions: word + " conditions", Allergies: word + " allergies",
			Carried: word + " carried", Medicines: word + " medicines", HeatHistory: word + " heat",
			Communication: word + " hearing", Doctor: word + " doctor"},
	}
}

// mustPlace signs somebody up with a few words for the leader.
func mustPlace(t testing.TB, db *postgres.DB, h hike.Hike, n int, needs string) card.Of {
	t.Helper()
	s := request(h.ID, n)
	s.Needs = needs
	got, err := db.SignUp(context.Background(), s, now)
	if err != nil {
		t.Fatal(err)
	}
	if got.Carded != (needs != "") {
		t.Errorf("the place says it has a card: %v", got.Carded)
	}
	return card.Of{Hike: h.ID, Person: got.ID}
}

// wholeDump returns what pg_dump writes, with the data as INSERT statements.
func wholeDump(t *testing.T, dsn string) []byte {
	t.Helper()
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		t.Skip(err)
	}
	out, err := exec.Command(filepath.Join(programs, "pg_dump"), "--inserts", "--dbname="+dsn).Output()
	if err != nil {
		t.Skipf("pg_dump: %v", err)
	}
	return out
}

func TestADumpHoldsNoReadableMedicalWord(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := sealing(t)
	h := mustHike(t, db, 5)
	of := mustPlace(t, db, h, 1, "planted-saguaro needs")
	if err := db.SaveCard(ctx, of, whole("planted-saguaro"), now); err != nil {
		t.Fatal(err)
	}
	mustPlace(t, db, h, 2, "planted-saguaro second")
	o := card.Opening{
		ID:     uuid.NewString(),
		Of:     of,
		By:     "Kept Name",
		Ground: card.AsLeader,
		Reason: "planted-saguaro reason",
		At:     now,
	}
	if _, err := db.OpenCard(ctx, o); err != nil {
		t.Fatal(err)
	}
	text := wholeDump(t, dsn)
	if !bytes.Contains(text, []byte("Kept Name")) || !bytes.Contains(text, []byte("Walker 001")) {
		t.Fatal("the dump lacks what it must hold, so it proves nothing")
	}
	if i := bytes.Index(text, []byte("planted-saguaro")); i >= 0 {
		t.Errorf("the dump says ...%s", text[max(0, i-200):min(len(text), i+60)])
	}
	if bytes.Contains(text, []byte("1961-04-30")) {
		t.Error("the dump holds the date of birth")
	}
}

// An older version stored what people asked for in plain text.
func TestPlainWordsOfAnOlderVersionAreSealed(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := open(t)
	h := mustHike(t, db, 5)
	of := mustPlace(t, db, h, 1, "")
	other := mustPlace(t, db, h, 2, "")
	const plain = `UPDATE signups SET unsealed_needs = 'planted-ocotillo, speak from the left' WHERE id = $1`
	if _, err := db.Pool().Exec(ctx, plain, of.Person); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(wholeDump(t, dsn), []byte("planted-ocotillo")) {
		t.Fatal("the words were not there before, so this proves nothing")
	}
	if err := db.TakeCardKey(ctx, card.NewKey(), false, now); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(wholeDump(t, dsn), []byte("planted-ocotillo")) {
		t.Error("the dump still says it")
	}
	lines, err := db.ActionLines(ctx, h.ID)
	want := map[string]card.Line{of.Person: {Text: "planted-ocotillo, speak from the left"}}
	if diff := cmp.Diff(want, lines); err != nil || diff != "" {
		t.Errorf("action lines, %v (-want +got):\n%s", err, diff)
	}
	for _, p := range places(t, db, h.ID) {
		if p.Carded != (p.ID == of.Person) || p.Needs != "" {
			t.Errorf("%s: carded %v, needs %q (other is %s)", p.Name, p.Carded, p.Needs, other.Person)
		}
	}
}

func places(t *testing.T, db *postgres.DB, id ref.Hike) []signup.SignUp {
	t.Helper()
	list, err := db.SignUps(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestOpeningIsKeptBeforeTheCardIsRead(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := sealing(t)
	h := mustHike(t, db, 5)
	of := mustPlace(t, db, h, 1, "")
	opening := func() card.Opening {
		return card.Opening{
			ID:     uuid.NewString(),
			Of:     of,
			By:     "Ash Moreno",
			Ground: card.AsLeader,
			Reason: "is confused, what does she take?",
			At:     now,
		}
	}
	if _, err := db.OpenCard(ctx, opening()); !errors.Is(err, fault.ErrNotFound) {
		t.Errorf("a card that is not there: %v", err)
	}
	if err := db.SaveCard(ctx, of, whole("word"), now); err != nil {
		t.Fatal(err)
	}
	o := opening()
	got, err := db.OpenCard(ctx, o)
	if diff := cmp.Diff(whole("word"), got); err != nil || diff != "" {
		t.Errorf("opened, %v (-want +got):\n%s", err, diff)
	}
	o.Person, o.Title = "Walker 001", h.Title
	list, err := db.OpeningsOf(ctx, of)
	if diff := cmp.Diff([]card.Opening{o}, list, cmp.Transformer("utc", time.Time.UTC)); err != nil || diff != "" {
		t.Errorf("openings, %v (-want +got):\n%s", err, diff)
	}
	broken := []byte("broken and long enough to be one")
	if _, err := db.Pool().Exec(ctx, `UPDATE medical_cards SET body = $1`, broken); err != nil {
		t.Fatal(err)
	}
	if _, err := db.OpenCard(ctx, opening()); !errors.Is(err, card.ErrDamaged) {
		t.Errorf("a damaged card opens: %v", err)
	}
	if all, err := db.Openings(ctx, 10); err != nil || len(all) != 2 {
		t.Errorf("%d openings, %v; want that of the damaged card too", len(all), err)
	}
}

func TestOpeningsAreNeverChanged(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := sealing(t)
	h := mustHike(t, db, 5)
	of := mustPlace(t, db, h, 1, "some words")
	o := card.Opening{ID: uuid.NewString(), Of: of, By: "A", Ground: card.AsLeader, Reason: "because of it", At: now}
	if _, err := db.OpenCard(ctx, o); err != nil {
		t.Fatal(err)
	}
	for _, sql := range []string{
		`UPDATE card_openings SET by_whom = 'nobody'`,
		`DELETE FROM card_openings`,
		`TRUNCATE card_openings`,
	} {
		if _, err := db.Pool().Exec(ctx, sql); err == nil {
			t.Errorf("%s is done", sql)
		}
	}
	if err := db.SaveCard(ctx, of, card.Card{}, now); err != nil {
		t.Fatal(err)
	}
	if list, err := db.OpeningsOf(ctx, of); err != nil || len(list) != 1 {
		t.Errorf("%d openings after the card is gone, %v", len(list), err)
	}
	if _, err := db.OwnCard(ctx, of); !errors.Is(err, fault.ErrNotFound) {
		t.Errorf("a card taken away is there: %v", err)
	}
}

func TestCardsAreForgottenInTime(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	const keep = 14 * 24 * time.Hour
	begun := time.Now() // the store notes by its own clock when a hike was closed
	later := func(d time.Duration) time.Time { return time.Now().Add(d) }
	for _, tt := range []struct {
		name  string
		state hike.State
		hold  string // "", "standing" or "lifted"
		at    time.Time
		want  int
	}{
		{"closed, a minute before the time", hike.Closed, "", begun.Add(keep - time.Minute), 0},
		{"closed, after the time", hike.Closed, "", later(keep + time.Minute), 1},
		{"under a hold", hike.Closed, "standing", later(10 * keep), 0},
		{"after a hold", hike.Closed, "lifted", later(keep + time.Minute), 1},
		{"still out", hike.Out, "", later(10 * keep), 0},
		{"back, not closed", hike.Back, "", later(10 * keep), 0},
		{"never left, before the time from its start", hike.Posted, "", now.Add(72*time.Hour + keep - time.Minute), 0},
		{"never left, after", hike.Posted, "", now.Add(72*time.Hour + keep), 1},
		{"called off, after", hike.CalledOff, "", now.Add(72*time.Hour + keep), 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			db, _ := sealing(t)
			h := mustHike(t, db, 5)
			of := mustPlace(t, db, h, 1, "some words")
			err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
				h.State = tt.state
				return nil
			})
			if err == nil && tt.hold != "" {
				err = db.HoldHike(ctx, h.ID, "somebody was hurt", "Juniper Vale", now)
			}
			if err == nil && tt.hold == "lifted" {
				err = db.LiftHold(ctx, h.ID, "nobody was hurt", "Juniper Vale", now)
			}
			if err != nil {
				t.Fatal(err)
			}
			rules := rules.DefaultRules()
			rules.KeepMedical = keep
			// Only the cards are due.
			rules.KeepPlates, rules.KeepContacts, rules.KeepNames = 100*keep, 100*keep, 100*keep
			done, err := db.DeleteDue(ctx, tt.at, rules, "test")
			if n := goneOf(done, retention.Cards); err != nil || n != tt.want {
				t.Errorf("forgot %d, %v; want %d", n, err, tt.want)
			}
			_, err = db.OwnCard(ctx, of)
			if gone := errors.Is(err, fault.ErrNotFound); gone != (tt.want == 1) {
				t.Errorf("gone %v, %v", gone, err)
			}
			var left int
			err = db.Pool().QueryRow(ctx, `SELECT count(*) FROM medical_cards`).Scan(&left)
			if err != nil || left != 1-tt.want {
				t.Errorf("%d cards are left, %v", left, err)
			}
			if len(places(t, db, h.ID)) != 1 {
				t.Error("the sign-up is gone too")
			}
		})
	}
}

func TestLostKeyIsSaidAndKeepsNothingInPlainText(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := sealing(t)
	h := mustHike(t, db, 5)
	of := mustPlace(t, db, h, 1, "some words")
	again, err := postgres.Open(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if err := again.TakeCardKey(ctx, card.NewKey(), false, now); !errors.Is(err, card.ErrOtherKey) ||
		again.HoldsCardKey() {
		t.Fatalf("another key is taken: %v", err)
	}
	if lines, err := again.ActionLines(ctx, h.ID); err != nil || !errors.Is(lines[of.Person].Unread, card.ErrOtherKey) {
		t.Errorf("lines %+v, %v", lines, err)
	}
	var refusal fault.Refusal
	s := request(h.ID, 2)
	s.Needs = "planted-creosote"
	if _, err := again.SignUp(ctx, s, now); !errors.As(err, &refusal) {
		t.Errorf("medical words without a key: %v, want a refusal", err)
	}
	if bytes.Contains(wholeDump(t, dsn), []byte("planted-creosote")) || len(places(t, db, h.ID)) != 1 {
		t.Error("the refused request left something behind")
	}
	s.Needs = ""
	if _, err := again.SignUp(ctx, s, now); err != nil {
		t.Errorf("a request without medical words: %v", err)
	}
	if err := again.TakeCardKey(ctx, card.NewKey(), true, now); err != nil {
		t.Fatal(err)
	}
	if err := again.SaveCard(ctx, card.Of{Hike: h.ID, Person: s.ID}, whole("new"), now); err != nil {
		t.Errorf("with a new key: %v", err)
	}
	if _, err := again.OwnCard(ctx, of); !errors.Is(err, card.ErrOtherKey) {
		t.Errorf("the old card under the new key: %v", err)
	}
}
