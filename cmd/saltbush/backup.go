package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg"
	"saltbush/internal/postgres"
	"saltbush/internal/site"
)

// whichDatabase selects a database in the same way as serve.
type whichDatabase struct {
	DatabaseURL string `env:"DATABASE_URL" placeholder:"URL" help:"Your PostgreSQL instead of the private one."`
	Data        string `env:"SALTBUSH_DATA" placeholder:"FOLDER" help:"Where the private database keeps its files."`
}

// backupCommand writes a database to one file, whether the site is running or not. It leaves out the sessions, so
// that a lost backup signs nobody in.
type backupCommand struct {
	To            string `required:"" placeholder:"FILE" help:"${backup_to}"`
	whichDatabase `embed:""`
}

// restoreCommand fills an empty database from a backup.
type restoreCommand struct {
	From          string `required:"" placeholder:"FILE" help:"A file that backup wrote; - is standard input."`
	whichDatabase `embed:""`
}

// standard means standard input or output instead of a file.
const standard = "-"

// Run writes the backup.
func (c backupCommand) Run(e environment) error {
	if c.To == standard {
		return c.withSource(e, func(dsn string) error { return dump(e.ctx, e.getenv, dsn, e.out) })
	}
	if _, err := os.Lstat(c.To); err == nil {
		return fmt.Errorf("--to %s: %w; a backup replaces nothing", c.To, fs.ErrExist)
	}
	return c.withSource(e, func(dsn string) error { return c.writeFile(e, dsn) })
}

// withSource calls do with the database to read from. It uses a private cluster that a site is running, and otherwise
// starts it for the duration of the call.
func (w whichDatabase) withSource(e environment, do func(dsn string) error) error {
	if w.DatabaseURL != "" {
		return do(w.DatabaseURL)
	}
	dir := w.folder(e)
	if _, err := os.Stat(filepath.Join(dir, "data", "PG_VERSION")); err != nil {
		return fmt.Errorf("no database to back up: %w", err)
	}
	server, err := site.StartCluster(e.ctx, dir, false, e.programs())
	if errors.Is(err, localpg.ErrInUse) {
		dsn, err := heldCluster(dir)
		if err != nil {
			return err
		}
		return do(dsn)
	}
	if err != nil {
		return err
	}
	return errors.Join(do(server.DSN(site.DatabaseName)), server.Stop())
}

// folder returns the folder of the private cluster.
func (w whichDatabase) folder(e environment) string {
	return site.ClusterFolder(cmp.Or(w.Data, localpg.DefaultDir(e.getenv)))
}

// heldCluster returns the address of a private cluster that another process is running, from the socket file that
// localpg writes. Only its own account and root have access.
func heldCluster(dir string) (dsn string, err error) {
	socket, err := os.ReadFile(filepath.Join(dir, "socket"))
	if err != nil {
		return "", fmt.Errorf("find the running database: %w", err)
	}
	return fmt.Sprintf("host=%s port=5432 user=saltbush dbname=%s sslmode=disable", socket, site.DatabaseName), nil
}

// writeFile writes to a temporary file and renames it when it is complete and on disk.
func (c backupCommand) writeFile(e environment, dsn string) error {
	part, err := os.CreateTemp(filepath.Dir(c.To), filepath.Base(c.To)+".part-")
	if err != nil {
		return fmt.Errorf("--to %s: %w", c.To, err)
	}
	defer os.Remove(part.Name())
	defer part.Close()
	if err := dump(e.ctx, e.getenv, dsn, part); err != nil {
		return err
	}
	st, err := part.Stat()
	if err := errors.Join(err, part.Sync(), part.Close()); err != nil {
		return fmt.Errorf("write the backup: %w", err)
	}
	if err := nameOnce(part.Name(), c.To); err != nil {
		return fmt.Errorf("--to %s: %w", c.To, err)
	}
	_, err = fmt.Fprintf(e.out, "%d kB in %s\n%s\n", st.Size()/1000, c.To, keyApart)
	return err
}

// keyApart is printed with every backup: backup and key together open the cards, and without the key they are lost.
const keyApart = "Medical cards in it open only with the key of the site: the file card.key in its data folder, or " +
	"SALTBUSH_CARD_KEY.\n" +
	"Keep a copy of that key apart from the backup, never in the same place."

// nameOnce gives a finished file its name unless the name is taken. On file systems without hard links, such as those
// of memory sticks, it renames the file.
func nameOnce(from, to string) error {
	err := os.Link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	return os.Rename(from, to)
}

// Run restores the backup.
func (c restoreCommand) Run(e environment) error {
	in := os.Stdin
	if c.From != standard {
		f, err := os.Open(c.From)
		if err != nil {
			return fmt.Errorf("--from: %w", err)
		}
		defer f.Close()
		in = f
	}
	if c.DatabaseURL != "" {
		return c.fill(e, c.DatabaseURL, in)
	}
	server, err := site.StartCluster(e.ctx, c.folder(e), false, e.programs())
	if errors.Is(err, localpg.ErrInUse) {
		return fmt.Errorf("stop the site first: %w", err)
	}
	if err != nil {
		return err
	}
	if err := server.CreateDatabase(e.ctx, site.DatabaseName); err != nil {
		return errors.Join(err, server.Stop())
	}
	return errors.Join(c.fill(e, server.DSN(site.DatabaseName), in), server.Stop())
}

// errNotEmpty protects existing data: a restore never adds to a database or replaces one.
var errNotEmpty = errors.New("the database is not empty: restore into a new one")

func (c restoreCommand) fill(e environment, dsn string, in *os.File) error {
	if err := checkEmpty(e, dsn); err != nil {
		return err
	}
	restore, err := newTool(e.ctx, e.getenv, "pg_restore", dsn)
	if err != nil {
		return err
	}
	if err := restore.run(e.ctx, in, io.Discard, "--single-transaction", "--exit-on-error", "--no-owner",
		"--no-privileges"); err != nil {
		return fmt.Errorf("restore from %s: %w", c.From, err)
	}
	applied, newest, err := postgres.SchemaVersion(e.ctx, dsn)
	switch {
	case err != nil:
		return err
	case applied == 0:
		return fmt.Errorf("restored, but %s is no backup of Saltbush", c.From)
	case applied > newest:
		return fmt.Errorf("restored, but at schema step %d, and this program knows %d: take a newer one to serve it",
			applied, newest)
	}
	_, err = fmt.Fprintf(e.out, "restored %s, schema at step %d of %d\n", c.From, applied, newest)
	return err
}

// checkEmpty returns errNotEmpty if pg_dump would write any object of the database.
func checkEmpty(e environment, dsn string) error {
	t, err := newTool(e.ctx, e.getenv, "pg_dump", dsn)
	if err != nil {
		return err
	}
	var schema bytes.Buffer
	if err := t.run(e.ctx, nil, &schema, "--schema-only"); err != nil {
		return fmt.Errorf("look into the database: %w", err)
	}
	const created = `(?m)^CREATE (UNLOGGED |FOREIGN |MATERIALIZED )?(TABLE|VIEW|SEQUENCE|TYPE|FUNCTION) `
	if regexp.MustCompile(created).Match(schema.Bytes()) {
		return errNotEmpty
	}
	return nil
}

func dump(ctx context.Context, getenv func(string) string, dsn string, to io.Writer) error {
	t, err := newTool(ctx, getenv, "pg_dump", dsn)
	if err != nil {
		return err
	}
	err = t.run(ctx, nil, to, "--format=custom", "--no-owner", "--no-privileges", "--exclude-table-data=sessions")
	if err != nil {
		return fmt.Errorf("write the backup: %w", err)
	}
	return nil
}

// tool is a PostgreSQL client program with the database to use it on.
type tool struct {
	path     string
	dsn      string // without a password: everybody on the machine can read arguments
	password string
}

// newTool finds a client program by name. It must not be older than the server, or it would refuse to work.
func newTool(ctx context.Context, getenv func(string) string, name, dsn string) (tool, error) {
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		return tool{}, fmt.Errorf("reach database: %w", err)
	}
	defer conn.Close(ctx)
	server := majorIn(conn.PgConn().ParameterStatus("server_version"))
	path, err := findTool(ctx, getenv, name, server)
	if err != nil {
		return tool{}, err
	}
	return tool{path: path, dsn: withoutPassword(dsn), password: conn.Config().Password}, nil
}

func findTool(ctx context.Context, getenv func(string) string, name string, server int) (string, error) {
	var old []string
	for _, dir := range toolFolders(getenv) {
		path := filepath.Join(dir, name)
		out, err := exec.CommandContext(ctx, path, "--version").Output()
		if err != nil {
			continue
		}
		if majorIn(string(out)) >= server {
			return path, nil
		}
		old = append(old, path)
	}
	err := fmt.Errorf("no %s of PostgreSQL %d or newer was found: install it (Debian: apt install "+
		"postgresql-client-%d) or set SALTBUSH_PG_BIN to its folder", name, server, server)
	if len(old) > 0 {
		err = fmt.Errorf("%w; older: %s", err, strings.Join(old, ", "))
	}
	return "", err
}

// toolFolders lists where client programs may be, first beside the server programs.
func toolFolders(getenv func(string) string) []string {
	dirs := []string{getenv("SALTBUSH_PG_BIN")}
	if programs, err := localpg.FindPrograms(getenv); err == nil {
		dirs = append(dirs, programs)
	}
	dirs = append(dirs, filepath.SplitList(getenv("PATH"))...)
	versions, _ := filepath.Glob("/usr/lib/postgresql/*/bin") // Debian's, off the PATH
	var out []string
	for _, d := range append(dirs, versions...) {
		if filepath.IsAbs(d) {
			out = append(out, d)
		}
	}
	return out
}

// majorIn reads "15.18 (Debian 15.18-0+deb12u1)" and "pg_dump (PostgreSQL) 17.2"; it returns 0 if there is no number.
func majorIn(version string) int {
	n, _ := strconv.Atoi(regexp.MustCompile(`\d+`).FindString(version))
	return n
}

// withoutPassword removes the password from a connection string, a URL or key words.
func withoutPassword(dsn string) string {
	if !strings.Contains(dsn, "://") {
		return regexp.MustCompile(`(?i)\bpassword\s*=\s*('(\\.|[^'\\])*'|(\\.|[^\s\\])*)`).ReplaceAllString(dsn, "")
	}
	u, err := url.Parse(dsn)
	if err != nil {
		return dsn // unreachable: pgx has parsed it
	}
	if u.User != nil {
		u.User = url.User(u.User.Username())
	}
	q := u.Query()
	q.Del("password")
	u.RawQuery = q.Encode()
	return u.String()
}

// run runs the program on its database. An error includes what the program printed.
func (t tool) run(ctx context.Context, in *os.File, out io.Writer, args ...string) error {
	c := exec.CommandContext(ctx, t.path, append(args, "--no-password", "--dbname="+t.dsn)...)
	c.Env = append(os.Environ(), "LC_ALL=C")
	if t.password != "" {
		c.Env = append(c.Env, "PGPASSWORD="+t.password)
	}
	if in != nil {
		c.Stdin = in
	}
	var printed bytes.Buffer
	c.Stdout, c.Stderr = out, &printed
	if err := c.Run(); err != nil {
		return fmt.Errorf("%s: %w: %s", filepath.Base(t.path), err, strings.TrimSpace(printed.String()))
	}
	return nil
}
