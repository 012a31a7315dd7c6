package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/site"
)

// cardKeyFile lies beside the private database, not in it: a dump or a backup of the
// database holds nothing medical that can be read.
const cardKeyFile = "card.key"

// keySource is where the key of the medical cards comes from.
type keySource struct {
	given string // in the environment; empty for the file
	file  string
	anew  bool // a key other than that of this database takes its place
}

// keySource names the key's file in the data folder, or the key given in the environment.
func (f siteFlags) keySource() keySource {
	return keySource{given: f.CardKey, file: filepath.Join(f.Data, cardKeyFile)}
}

// take finds the key, or draws the first one, and puts it into use. A site without its key
// serves all the same, since a watch must not end for it; it says so, here and on pages.
func (k keySource) take(e environment, db *site.Database) error {
	key, err := k.find(e.ctx, db)
	if err == nil {
		k.tellReadable(e)
		err = db.TakeCardKey(e.ctx, key, k.anew, time.Now())
	}
	if errors.Is(err, card.ErrOtherKey) || errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrNotExist) {
		k.tellLost(e, err)
		return nil
	}
	return err
}

func (k keySource) tellLost(e environment, err error) {
	fmt.Fprintf(e.err, "THE MEDICAL CARDS STAY CLOSED: %v\n", err)
	fmt.Fprintf(e.err, "  Action lines and cards on file cannot be read, and new ones are refused, until the key is back in\n  %s (or SALTBUSH_CARD_KEY). Leaders ask people instead. Put the file back and start again.\n", k.file)
	fmt.Fprintln(e.err, "  If the key is lost for good, so are those cards: start once with --new-card-key to begin with a new one.")
}

// tellReadable says that others on this machine can read the key. It is not refused: a
// secret that a container mounts may have no other mode.
func (k keySource) tellReadable(e environment) {
	if st, err := os.Stat(k.file); k.given == "" && err == nil && st.Mode().Perm()&0o077 != 0 {
		fmt.Fprintf(e.err, "The key of the medical cards, %s, can be read by others (mode %#o): chmod 600 it.\n", k.file, st.Mode().Perm())
	}
}

// errKeyGone is a database that has had a key whose file is not here.
var errKeyGone = fmt.Errorf("the key of this database is not here: %w", card.ErrOtherKey)

func (k keySource) find(ctx context.Context, db *site.Database) (card.Key, error) {
	if k.given != "" {
		key, err := card.ParseKey(k.given)
		if err != nil {
			return key, fmt.Errorf("SALTBUSH_CARD_KEY: %w", err)
		}
		return key, nil
	}
	text, err := os.ReadFile(k.file)
	if err == nil {
		key, err := card.ParseKey(string(text))
		if err != nil {
			return key, fmt.Errorf("%s: %w", k.file, err)
		}
		return key, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return card.Key{}, err
	}
	noted, err := db.CardKeyNoted(ctx)
	switch {
	case err != nil:
		return card.Key{}, err
	case noted && !k.anew:
		return card.Key{}, errKeyGone
	}
	return k.draw()
}

// draw makes the key's file, for its owner alone. Of two that start at once one makes it
// and both read it.
func (k keySource) draw() (card.Key, error) {
	if err := os.MkdirAll(filepath.Dir(k.file), 0o700); err != nil {
		return card.Key{}, err
	}
	part, err := os.CreateTemp(filepath.Dir(k.file), cardKeyFile+".part-") // made with mode 0600
	if err != nil {
		return card.Key{}, err
	}
	defer os.Remove(part.Name())
	_, err = fmt.Fprintln(part, card.NewKey().Reveal())
	if err := errors.Join(err, part.Sync(), part.Close()); err != nil {
		return card.Key{}, fmt.Errorf("write the key of the medical cards: %w", err)
	}
	if err := nameOnce(part.Name(), k.file); err != nil && !errors.Is(err, fs.ErrExist) {
		return card.Key{}, fmt.Errorf("write the key of the medical cards: %w", err)
	}
	text, err := os.ReadFile(k.file)
	if err != nil {
		return card.Key{}, err
	}
	return card.ParseKey(string(text))
}
