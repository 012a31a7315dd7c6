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

// madeBy returns the major version that made the data, or 0 if there are none yet.
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

// ensureCluster creates the data folder, or prepares an existing one for a start.
func (s *Server) ensureCluster(ctx context.Context, made int) error {
	if made == 0 {
		return s.createCluster(ctx)
	}
	if err := stopOrphan(s.data()); err != nil {
		return err
	}
	return s.account.own(s.data())
}

// createCluster makes the cluster under another name and renames it when it is complete, so
// that a killed initdb leaves no partial cluster.
func (s *Server) createCluster(ctx context.Context) error {
	s.sweepUnfinished()
	var err error
	for _, locale := range locales(s.major) {
		var fresh string
		if fresh, err = s.initdb(ctx, locale); err == nil {
			return s.adopt(fresh)
		}
		_ = os.RemoveAll(fresh)
		if !errors.Is(err, errLocale) {
			return err
		}
	}
	return err
}

// sweepUnfinished removes what a killed initdb left. That initdb may still be running and
// cleaning up; anything that cannot be removed now is removed by the next start. Names are
// never reused.
func (s *Server) sweepUnfinished() {
	left, _ := filepath.Glob(s.data() + unfinished + "*")
	for _, d := range left {
		_ = stopOrphan(d)
		_ = os.RemoveAll(d)
	}
}

// unfinished is the suffix of a data folder while initdb works on it.
const unfinished = ".new-"

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

// builtinMajor is the first major version with locales of its own.
const builtinMajor = 17

// locales lists initdb flags for folding and sorting Unicode letters, best first. The C
// locale alone folds only ASCII; a build may lack ICU, and a system C.UTF-8.
func locales(major int) [][]string {
	out := [][]string{{"--locale=C", "--locale-provider=icu", "--icu-locale=und"}}
	if major >= builtinMajor {
		out = append(out, []string{"--locale=C", "--locale-provider=builtin", "--builtin-locale=C.UTF-8"})
	}
	return append(out, []string{"--locale=C.UTF-8"}, []string{"--locale=C"})
}

// errLocale means that the build or the system lacks a locale.
var errLocale = errors.New("locale not to be had")

// initdb makes a cluster in a new folder beside the data folder.
func (s *Server) initdb(ctx context.Context, locale []string) (fresh string, err error) {
	if fresh, err = os.MkdirTemp(s.dir, filepath.Base(s.data())+unfinished); err != nil {
		return "", err
	}
	if err := s.account.own(fresh); err != nil {
		return fresh, err
	}
	c := s.command(ctx, "initdb", append(initdbArguments(s.volatile, locale), "-D", fresh)...)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	err = runPinned(c)
	if err == nil || ctx.Err() != nil {
		return fresh, errors.Join(err, ctx.Err())
	}
	if mentionsLocale(stderr.String()) {
		err = errors.Join(err, errLocale)
	}
	return fresh, fmt.Errorf("make the database in %s: initdb: %w\n%s%s",
		s.dir, err, tail(stdout.Bytes()), tail(stderr.Bytes()))
}

func initdbArguments(volatile bool, locale []string) []string {
	args := append([]string{"-U", superuser, "-A", "trust", "-E", "UTF8", "--no-instructions"}, locale...)
	if volatile {
		args = append(args, "--no-sync")
	}
	return args
}

// Recipe returns everything that determines a new cluster: the server programs and the
// arguments of initdb. It runs no program.
func Recipe(programs string, volatile bool) (string, error) {
	var b strings.Builder
	for _, name := range []string{"initdb", "postgres"} {
		st, err := os.Stat(filepath.Join(programs, name))
		if err != nil {
			return "", err
		}
		fmt.Fprintln(&b, programs, name, st.Size(), st.ModTime().UnixNano())
	}
	fmt.Fprintln(&b, environment())
	for _, l := range locales(builtinMajor) {
		fmt.Fprintln(&b, initdbArguments(volatile, l))
	}
	return b.String(), nil
}

func mentionsLocale(stderr string) bool {
	low := strings.ToLower(stderr)
	return strings.Contains(low, "icu") || strings.Contains(low, "locale")
}

// tail returns the end of a program's output, short enough for an error message.
func tail(b []byte) []byte { return b[max(0, len(b)-2000):] }
