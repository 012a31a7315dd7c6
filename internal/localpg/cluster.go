package localpg

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// madeBy returns the major version that made the data; 0 where there are none yet.
func madeBy(data string) (int, error) {
	b, err := os.ReadFile(filepath.Join(data, "PG_VERSION"))
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	major, err := strconv.Atoi(strings.TrimSpace(string(b)))
	if err != nil {
		return 0, fmt.Errorf("read %s/PG_VERSION: %w", data, err)
	}
	return major, nil
}

// ensureCluster makes the data folder if there is none, else readies it for a start.
func (s *Server) ensureCluster(ctx context.Context, made int) error {
	if made == 0 {
		return s.createCluster(ctx)
	}
	if err := stopOrphan(s.data()); err != nil {
		return err
	}
	return s.account.own(s.data())
}

// createCluster makes the cluster under another name and renames it when it is whole: a
// killed initdb leaves nothing half made.
func (s *Server) createCluster(ctx context.Context) error {
	fresh := s.data() + ".new"
	var err error
	for _, locale := range locales(s.major) {
		if err = s.initdb(ctx, fresh, locale); err == nil {
			return s.adopt(fresh)
		}
		if !errors.Is(err, errLocale) {
			return err
		}
	}
	return err
}

func (s *Server) adopt(fresh string) error {
	if err := os.Rename(fresh, s.data()); err != nil {
		return err
	}
	d, err := os.Open(s.dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

// locales lists ways to have Unicode letters folded and sorted, best first. The C locale
// alone folds ASCII only; a build may lack ICU, a system may lack C.UTF-8.
func locales(major int) [][]string {
	out := [][]string{{"--locale=C", "--locale-provider=icu", "--icu-locale=und"}}
	if major >= 17 {
		out = append(out, []string{"--locale=C", "--locale-provider=builtin", "--builtin-locale=C.UTF-8"})
	}
	return append(out, []string{"--locale=C.UTF-8"}, []string{"--locale=C"})
}

// errLocale marks a build or system that lacks the locale asked for.
var errLocale = errors.New("locale not to be had")

func (s *Server) initdb(ctx context.Context, fresh string, locale []string) error {
	if err := s.emptyFolder(fresh); err != nil {
		return err
	}
	args := append([]string{"-D", fresh, "-U", superuser, "-A", "trust", "-E", "UTF8", "--no-instructions"}, locale...)
	if s.volatile {
		args = append(args, "--no-sync")
	}
	c := s.command(ctx, "initdb", args...)
	var said, wrong bytes.Buffer
	c.Stdout, c.Stderr = &said, &wrong
	err := runPinned(c)
	if err == nil || ctx.Err() != nil {
		return errors.Join(err, ctx.Err())
	}
	if mentionsLocale(wrong.String()) {
		err = errors.Join(err, errLocale)
	}
	return fmt.Errorf("make the database in %s: initdb: %w\n%s%s", s.dir, err, tail(said.Bytes()), tail(wrong.Bytes()))
}

func mentionsLocale(stderr string) bool {
	low := strings.ToLower(stderr)
	return strings.Contains(low, "icu") || strings.Contains(low, "locale")
}

// emptyFolder makes an empty folder that is the account's. A killed initdb may have left
// one behind, with a process in it that still writes.
func (s *Server) emptyFolder(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		if err := stopOrphan(dir); err != nil {
			return err
		}
	}
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	if err := os.Mkdir(dir, 0o700); err != nil {
		return err
	}
	return s.account.own(dir)
}

// tail keeps what fits an error message of a program's output.
func tail(b []byte) []byte { return b[max(0, len(b)-2000):] }
