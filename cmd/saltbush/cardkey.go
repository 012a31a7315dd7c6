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

// cardKeyFile is outside the private database, so that nobody can read medical data from a dump or a backup.
const cardKeyFile = "card.key"

// keySource is where the key of the medical cards comes from.
type keySource struct {
	given   string // in the environment; "" for the file
	file    string
	replace bool // a new key replaces that of this database
}

// keySource returns the key file in the data folder, or the key given in the environment.
func (f siteFlags) keySource() keySource {
	return keySource{given: f.CardKey, file: filepath.Join(f.Data, cardKeyFile)}
}

// take finds the key, or makes the first one, and starts using it. A site without its key still serves, since watches
// must go on; it says so here and on its pages.
func (k keySource) take(e environment, db *site.Database) error {
	key, err := k.find(e.ctx, db)
	if err == nil {
		k.warnReadable(e)
		err = db.TakeCardKey(e.ctx, key, k.replace, time.Now())
	}
	if errors.Is(err, card.ErrOtherKey) || errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrNotExist) {
		k.warnLost(e, err)
		return nil
	}
	return err
}

func (k keySource) warnLost(e environment, err error) {
	fmt.Fprintf(e.err, "THE MEDICAL CARDS STAY CLOSED: %v\n", err)
	fmt.Fprintf(e.err,
		"  Action lines and cards on file cannot be read, and new ones are refused, until the key is back in\n  %s "+
			"(or SALTBUSH_CARD_KEY). Leaders ask people instead. Put the file back and start again.\n", k.file)
	fmt.Fprintln(e.err,
		"  If the key is lost for good, so are those cards: start once with --new-card-key to begin with a new one.")
}

// warnReadable warns if others on this machine can read the key. That is not an error: a secret mounted into a
// container may have no other mode.
func (k keySource) warnReadable(e environment) {
	if st, err := os.Stat(k.file); k.given == "" && err == nil && st.Mode().Perm()&0o077 != 0 {
		fmt.Fprintf(e.err, "The key of the medical cards, %s, can be read by others (mode %#o): chmod 600 it.\n",
			k.file, st.Mode().Perm())
	}
}

// errKeyGone means that the database has had a key but its file is missing.
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
	case noted && !k.replace:
		return card.Key{}, errKeyGone
	}
	return k.draw()
}

// draw makes the key file, readable by its owner only. If two processes start at once, one makes it and both read it.
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
