package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"saltbush/internal/card"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/site"
)

// keyed is a database, a place for its key's file, and what was said about the key.
type keyed struct {
	db   *site.Database
	keys keySource
	said *output
}

func newKeyed(t *testing.T) keyed {
	t.Helper()
	db, err := postgres.Open(context.Background(), pgtest.Migrated(t, nil))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	return keyed{&site.Database{DB: db}, keySource{file: filepath.Join(t.TempDir(), "data", cardKeyFile)}, &output{}}
}

func (k keyed) take() error {
	k.db.UseCardKey(card.Keyring{}) // as a program that starts
	return k.keys.take(environment{ctx: context.Background(), err: k.said}, k.db)
}

func (k keyed) mustTake(t *testing.T) {
	t.Helper()
	if err := k.take(); err != nil || !k.db.HoldsCardKey() {
		t.Fatalf("holds a key %v, %v; said %s", k.db.HoldsCardKey(), err, k.said)
	}
}

func TestCardKeyIsMadeOnceForItsOwnerAlone(t *testing.T) {
	t.Parallel()
	k := newKeyed(t)
	k.mustTake(t)
	st, err := os.Stat(k.keys.file)
	if err != nil || st.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v; want 0600", st.Mode(), err)
	}
	if list, _ := os.ReadDir(filepath.Dir(k.keys.file)); len(list) != 1 {
		t.Errorf("the folder holds %v", list)
	}
	first, _ := os.ReadFile(k.keys.file)
	if _, err := card.ParseKey(string(first)); err != nil {
		t.Errorf("the file holds no key: %v", err)
	}
	k.mustTake(t)
	if again, _ := os.ReadFile(k.keys.file); string(again) != string(first) {
		t.Error("a second start changed the key")
	}
	if strings.Contains(k.said.String(), strings.TrimSpace(string(first))) {
		t.Error("the key was printed")
	}
}

func TestSitesThatStartAtOnceShareOneKey(t *testing.T) {
	t.Parallel()
	k := newKeyed(t)
	keys := make([]card.Key, 8)
	var wg sync.WaitGroup
	for i := range keys {
		wg.Go(func() {
			var err error
			if keys[i], err = k.keys.draw(); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	for _, key := range keys {
		if key != keys[0] {
			t.Fatal("two keys were drawn")
		}
	}
}

func TestUnfitCardKeyIsRefusedByName(t *testing.T) {
	t.Parallel()
	short := card.NewKey().Reveal()[4:]
	for _, tt := range []struct{ name, text string }{
		{"29 bytes", short}, {"64 characters of hex", strings.Repeat("0f", 32)}, {"words", "not a key"}, {"empty", ""},
	} {
		t.Run("in the file: "+tt.name, func(t *testing.T) {
			k := newKeyed(t)
			if err := os.MkdirAll(filepath.Dir(k.keys.file), 0o700); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(k.keys.file, []byte(tt.text), 0o600); err != nil {
				t.Fatal(err)
			}
			err := k.take()
			if err == nil || !strings.Contains(err.Error(), k.keys.file) || !strings.Contains(err.Error(), "32 bytes") {
				t.Errorf("error %v, want the file's name and what it lacks", err)
			}
			if after, _ := os.ReadFile(k.keys.file); string(after) != tt.text || k.db.HoldsCardKey() {
				t.Error("the file was changed, or a key is in use")
			}
		})
	}
	t.Run("in the environment", func(t *testing.T) {
		k := newKeyed(t)
		k.keys.given = short
		err := k.take()
		if err == nil || !strings.Contains(err.Error(), "SALTBUSH_CARD_KEY") || strings.Contains(err.Error(), short) {
			t.Errorf("error %v, want the name of the variable and not its value", err)
		}
	})
}

// A site whose key is gone says where it looked, draws no other one, and has every card
// again when the key is back.
func TestLostCardKeyIsSaidAndNothingIsLost(t *testing.T) {
	t.Parallel()
	k := newKeyed(t)
	k.mustTake(t)
	kept := k.keys.file + ".kept"
	lose := map[string]func() error{
		"the file is gone": func() error { return os.Rename(k.keys.file, kept) },
		"another key lies there": func() error {
			other := []byte(card.NewKey().Reveal())
			return errors.Join(os.Rename(k.keys.file, kept), os.WriteFile(k.keys.file, other, 0o600))
		},
	}
	for name, away := range lose {
		t.Run(name, func(t *testing.T) {
			if err := away(); err != nil {
				t.Fatal(err)
			}
			before, _ := os.ReadFile(k.keys.file)
			if err := k.take(); err != nil || k.db.HoldsCardKey() {
				t.Fatalf("a key is in use %v, %v; want the site to start without", k.db.HoldsCardKey(), err)
			}
			for _, want := range []string{"THE MEDICAL CARDS STAY CLOSED", k.keys.file, "--new-card-key"} {
				if said := k.said.String(); !strings.Contains(said, want) {
					t.Errorf("said %q, want %q in it", said, want)
				}
			}
			if after, _ := os.ReadFile(k.keys.file); string(after) != string(before) {
				t.Error("another key was written")
			}
			if err := os.Rename(kept, k.keys.file); err != nil {
				t.Fatal(err)
			}
			k.mustTake(t) // which takes no other key than the noted one
		})
	}
}

func TestNewCardKeyTakesThePlaceOfALostOne(t *testing.T) {
	t.Parallel()
	k := newKeyed(t)
	k.mustTake(t)
	if err := os.Remove(k.keys.file); err != nil {
		t.Fatal(err)
	}
	k.keys.replace = true
	k.mustTake(t)
	k.keys.replace = false
	k.mustTake(t)
}

// The whole program: the private database and its key lie apart, and a backup holds no key.
func TestServeMakesTheKeyBesideItsDatabase(t *testing.T) {
	needsPrograms(t)
	t.Setenv("SALTBUSH_CARD_KEY", "")
	data := pgtest.Folder(t)
	serve(t, "serve", "--data", data).await(t, firstPattern)
	st, err := os.Stat(filepath.Join(data, cardKeyFile))
	if err != nil || st.Mode().Perm() != 0o600 {
		t.Fatalf("%v, %v; want the file for its owner alone", st, err)
	}
	key, _ := os.ReadFile(filepath.Join(data, cardKeyFile))
	to := filepath.Join(t.TempDir(), "backup")
	said, err := command(t, "backup", "--data", data, "--to", to)
	if err != nil || !strings.Contains(said, "Keep a copy of that key apart from the backup") {
		t.Errorf("backup said %q, %v", said, err)
	}
	if whole, _ := os.ReadFile(to); len(whole) == 0 || strings.Contains(string(whole), strings.TrimSpace(string(key))) {
		t.Error("the backup is empty or holds the key")
	}
}
