package localpg

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Errors about the server programs.
var (
	// ErrNoPrograms means that no PostgreSQL server programs were found.
	ErrNoPrograms = errors.New("no PostgreSQL server programs found")
	// ErrVersion means that the programs cannot serve the data.
	ErrVersion = errors.New("wrong version of PostgreSQL")
)

// minMajor is the oldest supported major version.
// Our judgment: the version of Debian 12, the oldest one that the tests run on.
const minMajor = 15

// remedy tells people what to do without server programs.
const remedy = "install them (Debian, Ubuntu: apt install postgresql; " +
	"Fedora: dnf install postgresql-server; macOS: brew install postgresql@17) " +
	"or give the URL of a database (DATABASE_URL)"

// remedyError is an error about missing programs, with what to do.
type remedyError struct {
	what string
	errs []error
}

func (e *remedyError) Error() string   { return e.what + ": " + remedy }
func (e *remedyError) Unwrap() []error { return e.errs }

// FindPrograms returns the folder of initdb and postgres. It looks in $SALTBUSH_PG_BIN, in
// $PATH, in the folders of distributions, newest version first, and in the cache of Fetch. The
// error is ErrNoPrograms and says what to do.
func FindPrograms(getenv func(string) string) (dir string, err error) {
	if set := getenv("SALTBUSH_PG_BIN"); set != "" && !holdsPrograms(set) {
		return "", &remedyError{
			"SALTBUSH_PG_BIN=" + set + " does not hold initdb and postgres", []error{ErrNoPrograms}}
	}
	found := candidates(getenv, distroFolders())
	if len(found) == 0 {
		return "", &remedyError{ErrNoPrograms.Error(), []error{ErrNoPrograms}}
	}
	return found[0], nil
}

// distroFolders lists glob patterns of folders where packages install the server programs
// outside the PATH: Debian, SUSE and Alpine, PGDG for RPM systems, Homebrew on both kinds of
// Mac.
func distroFolders() []string {
	return []string{
		"/usr/lib/postgresql/*/bin", "/usr/lib/postgresql*/bin", "/usr/libexec/postgresql*",
		"/usr/pgsql-*/bin",
		"/opt/homebrew/opt/postgresql@*/bin", "/usr/local/opt/postgresql@*/bin",
		"/Applications/Postgres.app/Contents/Versions/*/bin",
	}
}

// candidates lists all folders with the programs, in the order of FindPrograms.
func candidates(getenv func(string) string, distro []string) []string {
	all := []string{getenv("SALTBUSH_PG_BIN")}
	for _, d := range filepath.SplitList(getenv("PATH")) {
		all = append(all, realProgramDir(d))
	}
	all = append(all, newestFirst(distro...)...)
	all = append(all, newestFirst(filepath.Join(DefaultCacheDir(getenv), "postgres-*", "bin"))...)
	var out []string
	for _, d := range all {
		if d != "" && holdsPrograms(d) && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	return out
}

// realProgramDir follows a link on the PATH to the folder of the program: postgres finds its
// share folder from there, and there may be no link to initdb.
func realProgramDir(dir string) string {
	if !filepath.IsAbs(dir) {
		return "" // a relative PATH entry depends on the current folder
	}
	actual, err := filepath.EvalSymlinks(filepath.Join(dir, "postgres"))
	if err != nil {
		return ""
	}
	return filepath.Dir(actual)
}

func holdsPrograms(dir string) bool {
	for _, name := range []string{"initdb", "postgres"} {
		st, err := os.Stat(filepath.Join(dir, name))
		if err != nil || st.IsDir() || st.Mode()&0o111 == 0 {
			return false
		}
	}
	return true
}

// newestFirst expands globs and sorts by the numbers in the paths, so that 15 comes before
// 9.6.
func newestFirst(globs ...string) []string {
	var found []string
	for _, g := range globs {
		m, _ := filepath.Glob(g) // the only error is a bad pattern
		found = append(found, m...)
	}
	slices.SortStableFunc(found, func(a, b string) int {
		return slices.Compare(numbersIn(b), numbersIn(a))
	})
	return found
}

func numbersIn(path string) (out []int) {
	for _, f := range strings.FieldsFunc(path, func(r rune) bool { return r < '0' || r > '9' }) {
		n, _ := strconv.Atoi(f)
		out = append(out, n)
	}
	return out
}

// majorIn returns the major version in the output of postgres --version, such as "postgres
// (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)" or "16beta1".
func majorIn(version string) (int, error) {
	m := regexp.MustCompile(`PostgreSQL\) (\d+)`).FindStringSubmatch(version)
	if m == nil {
		return 0, fmt.Errorf("read version of postgres: %q", version)
	}
	return strconv.Atoi(m[1])
}

func majorOf(ctx context.Context, programs string) (int, error) {
	version, err := versionOf(ctx, programs)
	if err != nil {
		return 0, err
	}
	return majorIn(version)
}

// versionOf returns what the server program says of itself.
func versionOf(ctx context.Context, programs string) (string, error) {
	out, err := exec.CommandContext(ctx, filepath.Join(programs, "postgres"), "--version").Output()
	if err != nil {
		return "", fmt.Errorf("run %s/postgres --version: %w", programs, err)
	}
	return string(out), nil
}

// matching returns the first folder with programs that can serve data made by the given major
// version, or with any supported version if made is 0. After an upgrade of a distribution the
// old version is still there, and only it can open the old data.
func matching(ctx context.Context, made int, dirs []string) (dir string, major int, err error) {
	var seen []string
	for _, d := range dirs {
		major, err := majorOf(ctx, d)
		switch {
		case ctx.Err() != nil:
			return "", 0, ctx.Err()
		case err != nil:
			seen = append(seen, err.Error())
		case made == 0 && major >= minMajor || made == major:
			return d, major, nil
		default:
			seen = append(seen, fmt.Sprintf("%d in %s", major, d))
		}
	}
	if made == 0 {
		return "", 0, fmt.Errorf("%w: %d or newer is needed, found %s", ErrVersion, minMajor, strings.Join(seen, ", "))
	}
	return "", 0, fmt.Errorf("%w: the data were made by %d, found %s: install PostgreSQL %d again",
		ErrVersion, made, strings.Join(seen, ", "), made)
}
