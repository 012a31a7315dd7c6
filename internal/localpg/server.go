package localpg

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// ErrInUse means that another process holds the data folder.
var ErrInUse = errors.New("data folder is in use by another process")

// superuser is the only role of a new cluster.
const superuser = "saltbush"

// Options are the options of Start. Only Dir is required.
type Options struct {
	// Dir holds the cluster (in data), its log and its lock. It is created if missing.
	Dir string
	// Programs is the folder of the server programs; if empty, Start looks for them. Data made
	// by another major version are served by programs of that version if there are any.
	Programs string
	// User is the account to run as if we are root. If empty, it is the owner of the data, else
	// postgres, else nobody. It is ignored if we are not root.
	User string
	// Volatile is faster, but loses data in a power cut. It is for tests and demos.
	Volatile bool
	// Settings are configuration parameters of the server.
	Settings map[string]string
}

// Server is a running cluster that this process started.
type Server struct {
	dir      string
	programs string
	major    int
	volatile bool
	settings map[string]string
	account  *account

	lock   *os.File
	socket string
	cmd    *exec.Cmd
	done   chan struct{}
	err    error // why cmd ended; read after done
	stop   func() error
}

// Start makes the cluster in o.Dir if there is none, starts its server and waits until it
// answers. ctx applies only to the start; the server runs until Stop, and on Linux no longer
// than this process. The error is ErrInUse while another process holds o.Dir.
func Start(ctx context.Context, o Options) (*Server, error) {
	dir, err := filepath.Abs(o.Dir)
	if err != nil {
		return nil, err
	}
	s := &Server{dir: dir, volatile: o.Volatile, settings: o.Settings, done: make(chan struct{})}
	s.stop = sync.OnceValue(s.shutDown)
	if err := s.hold(); err != nil {
		return nil, err
	}
	if err := s.start(ctx, o); err != nil {
		s.release()
		return nil, err
	}
	return s, nil
}

func (s *Server) data() string { return filepath.Join(s.dir, "data") }

func (s *Server) start(ctx context.Context, o Options) error {
	made, err := madeBy(s.data())
	if err != nil {
		return err
	}
	if s.programs, s.major, err = choosePrograms(ctx, o.Programs, made); err != nil {
		return err
	}
	if s.account, err = chooseAccount(o.User, s.data()); err != nil {
		return err
	}
	if err := s.checkReach(ctx); err != nil {
		return err
	}
	if err := s.openSocketFolder(); err != nil {
		return err
	}
	if err := s.ensureCluster(ctx, made); err != nil {
		return err
	}
	if err := s.launch(); err != nil {
		return err
	}
	return s.awaitReady(ctx)
}

func choosePrograms(ctx context.Context, wanted string, made int) (string, int, error) {
	dirs := []string{wanted}
	if wanted == "" {
		if _, err := FindPrograms(os.Getenv); err != nil {
			return "", 0, err
		}
		dirs = nil
	}
	if wanted == "" || made != 0 {
		dirs = append(dirs, candidates(os.Getenv, distroFolders())...)
	}
	return matching(ctx, made, dirs)
}

// hold creates the folder and locks it. The lock ends with its process, so a held lock means
// that the holder is alive.
func (s *Server) hold() (err error) {
	mode := os.FileMode(0o700)
	if os.Geteuid() == 0 {
		mode = 0o711 // the account of the server must be able to enter
	}
	if err := makeDir(s.dir, mode); err != nil {
		return fmt.Errorf("make data folder: %w", err)
	}
	if s.lock, err = os.OpenFile(filepath.Join(s.dir, "lock"), os.O_CREATE|os.O_RDWR, 0o600); err != nil {
		return fmt.Errorf("open data folder: %w", err)
	}
	if err := syscall.Flock(int(s.lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		s.lock.Close()
		return fmt.Errorf("%w: %s", ErrInUse, s.dir)
	}
	return nil
}

func (s *Server) release() {
	if s.socket != "" {
		_ = os.RemoveAll(s.socket)
	}
	s.lock.Close()
}

const (
	socketParent = "/tmp" // not $TMPDIR, which may be long, or closed to the account of the server
	socketPrefix = "saltbush-pg"
)

// openSocketFolder makes a folder for the socket and removes that of a killed process. Its
// name is short, because the path of a socket is limited to 107 bytes (unix(7), sun_path; 103
// on macOS).
func (s *Server) openSocketFolder() (err error) {
	s.sweepSocket()
	if s.socket, err = os.MkdirTemp(socketParent, socketPrefix); err != nil {
		return fmt.Errorf("make socket folder: %w", err)
	}
	if err := os.WriteFile(s.socketNote(), []byte(s.socket), 0o600); err != nil {
		return err
	}
	return s.account.own(s.socket)
}

// socketNote is the file with the path of the holder's socket folder.
func (s *Server) socketNote() string { return filepath.Join(s.dir, "socket") }

// sweepSocket removes the socket folder of a killed holder.
func (s *Server) sweepSocket() {
	b, _ := os.ReadFile(s.socketNote())
	old := string(b)
	if filepath.Dir(old) == socketParent && strings.HasPrefix(filepath.Base(old), socketPrefix) {
		_ = os.RemoveAll(old)
	}
}

// launch starts the server with its log in the data folder. It keeps the previous log.
func (s *Server) launch() error {
	name := filepath.Join(s.dir, "postgres.log")
	_ = os.Rename(name, name+".1")
	log, err := os.OpenFile(name, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	s.cmd = s.command(context.Background(), "postgres", s.arguments()...)
	s.cmd.Stdout, s.cmd.Stderr = log, log
	started := make(chan error)
	go func() {
		runtime.LockOSThread() // the death signal fires when this thread ends: keep it
		defer runtime.UnlockOSThread()
		err := s.cmd.Start()
		started <- err
		if err == nil {
			s.err = s.cmd.Wait()
			close(s.done)
		}
	}()
	return <-started
}

func (s *Server) arguments() []string {
	settings := map[string]string{
		"listen_addresses":        "",
		"port":                    "5432",
		"unix_socket_directories": s.socket,
		"unix_socket_permissions": "0700",
		"logging_collector":       "off",
		"TimeZone":                "UTC",
		"log_timezone":            "UTC",
	}
	if s.volatile {
		maps.Copy(settings, map[string]string{
			"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off",
			"wal_level": "minimal", "max_wal_senders": "0",
		})
	}
	maps.Copy(settings, s.settings)
	args := []string{"-D", s.data()}
	for _, k := range slices.Sorted(maps.Keys(settings)) {
		args = append(args, "-c", k+"="+settings[k])
	}
	return args
}

// startPatience is how long a start may take.
// Our judgment: crash recovery of a database of this size takes seconds.
const startPatience = 60 * time.Second

func (s *Server) awaitReady(ctx context.Context) error {
	limited, cancel := context.WithTimeout(ctx, startPatience)
	defer cancel()
	var err error
	for {
		if readyIn(s.data()) {
			var c *pgx.Conn
			if c, err = pgx.Connect(limited, s.DSN("postgres")); err == nil {
				return c.Close(ctx)
			}
		}
		select {
		case <-s.done:
			b, _ := os.ReadFile(filepath.Join(s.dir, "postgres.log"))
			return fmt.Errorf("the database in %s ended at its start: %v\n%s", s.dir, s.err, tail(b))
		case <-limited.Done():
			_ = s.stop()
			return fmt.Errorf("wait for the database in %s: %w", s.dir, errors.Join(limited.Err(), err))
		case <-time.After(10 * time.Millisecond):
		}
	}
}

// DSN returns the connection string of a database of the cluster, for pgx. The database
// "postgres" always exists. The port is given, so that $PGPORT has no effect.
func (s *Server) DSN(database string) string {
	quoted := strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(database)
	return fmt.Sprintf("host=%s port=5432 user=%s dbname='%s' sslmode=disable", s.socket, superuser, quoted)
}

// CreateDatabase creates a database if it does not exist.
func (s *Server) CreateDatabase(ctx context.Context, name string) error {
	c, err := pgx.Connect(ctx, s.DSN("postgres"))
	if err != nil {
		return fmt.Errorf("create database %s: %w", name, err)
	}
	defer c.Close(ctx)
	_, err = c.Exec(ctx, "CREATE DATABASE "+pgx.Identifier{name}.Sanitize())
	var pg *pgconn.PgError
	if errors.As(err, &pg) && pg.Code == "42P04" { // duplicate_database
		return nil
	}
	return err
}

// Done returns a channel that is closed when the server has ended, by Stop or by itself.
func (s *Server) Done() <-chan struct{} { return s.done }

// Stop ends open sessions and shuts the server down, by force if that takes too long. It
// returns nil if the server ended in order, else why it ended. It may be called again.
func (s *Server) Stop() error { return s.stop() }

func (s *Server) shutDown() error {
	_ = s.cmd.Process.Signal(syscall.SIGINT)
	select {
	case <-s.done:
	case <-time.After(stopPatience):
		_ = s.cmd.Process.Signal(syscall.SIGQUIT)
		<-s.done
	}
	s.release()
	return s.err
}

// command returns a server program with a minimal environment, without our PG* variables and
// our locale. A canceled ctx kills its whole process group.
func (s *Server) command(ctx context.Context, name string, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, filepath.Join(s.programs, name), args...)
	c.Dir = "/"
	c.Env = environment()
	c.SysProcAttr = processAttributes(s.account.credential())
	c.Cancel = func() error { return syscall.Kill(-c.Process.Pid, syscall.SIGKILL) }
	return c
}

func environment() []string { return []string{"PATH=/usr/bin:/bin", "LC_ALL=C", "TZ=UTC"} }

// runPinned runs c from a locked thread: the end of its thread would send the death signal.
func runPinned(c *exec.Cmd) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	return c.Run()
}
