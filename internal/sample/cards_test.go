package sample_test

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
)

// Reads all medical cards of the demo, and looks for their texts in a full dump of its
// database.
func TestDumpHasNoMedicalText(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	dsn := pgtest.Migrated(t, loadSeason)
	db, err := postgres.Open(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := useKey(ctx, db); err != nil {
		t.Fatal(err)
	}
	words := medicalWords(t, db)
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		t.Skip(err)
	}
	dump, err := exec.Command(filepath.Join(programs, "pg_dump"), "--inserts", "--dbname="+dsn).Output()
	if err != nil {
		t.Skipf("pg_dump: %v", err)
	}
	if !bytes.Contains(dump, []byte("INSERT INTO public.medical_cards")) {
		t.Fatal("the dump has no cards")
	}
	for _, word := range words {
		if bytes.Contains(dump, []byte(word)) {
			t.Errorf("the dump contains %q", word)
		}
	}
}

// medicalWords returns the texts of all cards of the season.
func medicalWords(t *testing.T, db *postgres.DB) (words []string) {
	t.Helper()
	ctx := context.Background()
	hikes, err := db.Hikes(ctx, now.AddDate(-2, 0, 0), now.AddDate(2, 0, 0))
	if err != nil {
		t.Fatal(err)
	}
	whole := 0
	for _, h := range hikes {
		lines, err := db.ActionLines(ctx, h.Hike.ID)
		if err != nil {
			t.Fatal(err)
		}
		for person, line := range lines {
			c, err := db.OwnCard(ctx, card.Of{Hike: h.Hike.ID, Person: person})
			if err != nil || line.Unread != nil || line.Text == "" {
				t.Fatalf("card of %s: %q, %v, %v", person, line.Text, line.Unread, err)
			}
			words = append(words, line.Text)
			if c.Conditions != "" {
				whole++
				if h.Hike.State != hike.Out {
					t.Errorf("a full card is on %q, want a hike that is out", h.Hike.Title)
				}
				words = append(words, c.Conditions, c.Carried, c.Medicines, c.Born)
			}
		}
	}
	if whole != 2 || len(words) < 12 {
		t.Fatalf("%d whole cards and %d texts, want two full cards and at least 12 texts", whole, len(words))
	}
	return words
}

// Cards that retention would have deleted are not loaded.
func TestNoExpiredCards(t *testing.T) {
	t.Parallel()
	run, ok := loaded(t).Cards.(retention.Store)
	if !ok {
		t.Fatal("the store of the demo cannot delete")
	}
	rules := rules.DefaultRules()
	rules.KeepMedical += 24 * time.Hour
	done, err := run.DeleteDue(context.Background(), now, rules, "test")
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range done {
		if d.Kind == retention.Cards && d.Gone > 0 {
			t.Errorf("%d cards of %s were too old", d.Gone, d.Title)
		}
	}
}
