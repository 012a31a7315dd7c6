package localpg_test

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
)

func TestStart(t *testing.T) {
	t.Run("a new cluster folds letters beyond ASCII, and its data outlive a stop", func(t *testing.T) {
		dir := filepath.Join(pgtest.Folder(t), "new", "folder")
		s := start(t, localpg.Options{Dir: dir})
		if got := query(t, s.DSN("postgres"), "SELECT lower('\u00c9\u00c4')"); got != "\u00e9\u00e4" {
			t.Errorf("lower('\u00c9\u00c4') = %q", got)
		}
		exec(t, s.DSN("postgres"), "CREATE TABLE kept AS SELECT 'yes' AS v")
		stop(t, s)
		s = start(t, localpg.Options{Dir: dir})
		if got := query(t, s.DSN("postgres"), "SELECT v FROM kept"); got != "yes" {
			t.Errorf("after a restart got %q", got)
		}
	})
	dir := pgtest.Cluster(t)
	t.Run("settings reach the server and volatile turns fsync off", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir, Volatile: true, Settings: map[string]string{"work_mem": "3MB"}})
		for name, want := range map[string]string{"work_mem": "3MB", "fsync": "off", "listen_addresses": "",
			"TimeZone": "UTC"} {
			if got := query(t, s.DSN("postgres"), "SELECT current_setting($1)", name); got != want {
				t.Errorf("%s = %q, want %q", name, got, want)
			}
		}
	})
	t.Run("fsync is on by default", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir})
		if got := query(t, s.DSN("postgres"), "SHOW fsync"); got != "on" {
			t.Errorf("fsync = %q", got)
		}
	})
	t.Run("environment variables do not change the connection", func(t *testing.T) {
		t.Setenv("PGPORT", "1")
		t.Setenv("PGHOST", "/nowhere")
		t.Setenv("TMPDIR", "/nowhere/"+strings.Repeat("long", 40))
		start(t, localpg.Options{Dir: dir, Volatile: true})
	})
}

func TestStartRefuses(t *testing.T) {
	dir := pgtest.Cluster(t)
	t.Run("a second start, and the first server still runs", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir})
		if _, err := localpg.Start(t.Context(), localpg.Options{Dir: dir}); !errors.Is(err, localpg.ErrInUse) {
			t.Fatalf("second start: %v, want ErrInUse", err)
		}
		if got := query(t, s.DSN("postgres"), "SELECT 'alive'"); got != "alive" {
			t.Errorf("first server answers %q", got)
		}
	})
	t.Run("an invalid setting, with the message of the server", func(t *testing.T) {
		wrong := map[string]string{"no_such_thing": "1"}
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: dir, Volatile: true, Settings: wrong})
		if err == nil || !strings.Contains(err.Error(), "no_such_thing") {
			t.Fatalf("error = %v, want one that names the setting", err)
		}
		start(t, localpg.Options{Dir: dir, Volatile: true}) // the folder is unlocked
	})
	t.Run("a canceled start, and unlocks the folder", func(t *testing.T) {
		takesLong(t)
		programs(t)
		dir := pgtest.Folder(t)
		ctx, cancel := context.WithTimeout(t.Context(), 60*time.Millisecond) // within initdb
		defer cancel()
		if _, err := localpg.Start(ctx, localpg.Options{Dir: dir}); !errors.Is(err, context.DeadlineExceeded) {
			t.Fatalf("error = %v, want the deadline", err)
		}
		start(t, localpg.Options{Dir: dir})
	})
	t.Run("data of a missing version", func(t *testing.T) {
		programs(t)
		dir := pgtest.Folder(t)
		write(t, filepath.Join(dir, "data", "PG_VERSION"), "9\n")
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: dir})
		if !errors.Is(err, localpg.ErrVersion) || !strings.Contains(err.Error(), "install PostgreSQL 9 again") {
			t.Errorf("error = %v, want ErrVersion with what to install", err)
		}
	})
	t.Run("programs too old", func(t *testing.T) {
		old := filepath.Join(folder(t), "bin")
		script(t, old, "initdb", "exit 1")
		script(t, old, "postgres", "echo 'postgres (PostgreSQL) 14.2'")
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: pgtest.Folder(t), Programs: old})
		if !errors.Is(err, localpg.ErrVersion) || !strings.Contains(err.Error(), "15 or newer") {
			t.Errorf("error = %v, want ErrVersion", err)
		}
	})
	t.Run("a file in place of the folder", func(t *testing.T) {
		programs(t)
		name := filepath.Join(folder(t), "file")
		write(t, name, "")
		var path *fs.PathError
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: name})
		if !errors.As(err, &path) || path.Path != name {
			t.Errorf("error = %v, want one about %s", err, name)
		}
	})
}

func TestStartWithOtherPrograms(t *testing.T) {
	t.Run("old data are served by their version, next to a newer one", func(t *testing.T) {
		dir := pgtest.Cluster(t)
		newer := filepath.Join(folder(t), "bin")
		script(t, newer, "initdb", "exit 1")
		script(t, newer, "postgres", "echo 'postgres (PostgreSQL) 99.1'")
		start(t, localpg.Options{Dir: dir, Volatile: true, Programs: newer})
	})
	t.Run("a build without ICU gets another locale", func(t *testing.T) {
		takesLong(t)
		good, plain := programs(t), filepath.Join(folder(t), "bin")
		script(t, plain, "initdb", `case "$*" in
*icu*|*builtin*) echo "initdb: error: ICU is not supported in this build" >&2; exit 1;;
esac
exec `+good+`/initdb "$@"`)
		script(t, plain, "postgres", "exec "+good+`/postgres "$@"`)
		s := start(t, localpg.Options{Dir: pgtest.Folder(t), Volatile: true, Programs: plain})
		if got := query(t, s.DSN("postgres"),
			"SELECT datlocprovider::text FROM pg_database WHERE datname = 'postgres'"); got != "c" {
			t.Errorf("locale provider = %q, want libc's", got)
		}
	})
	t.Run("the error has the output of an initdb that fails otherwise", func(t *testing.T) {
		good, broken := programs(t), filepath.Join(folder(t), "bin")
		script(t, broken, "initdb", `echo "initdb: error: no space left" >&2; exit 1`)
		script(t, broken, "postgres", "exec "+good+`/postgres "$@"`)
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: pgtest.Folder(t), Programs: broken})
		if err == nil || strings.Count(err.Error(), "no space left") != 1 {
			t.Errorf("error = %v, want the output of initdb once", err)
		}
	})
}

func TestServer(t *testing.T) {
	dir := pgtest.Cluster(t)
	t.Run("stop ends open sessions, may be repeated, and leaves no socket", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir, Volatile: true})
		c := connect(t, s.DSN("postgres"))
		defer c.Close(context.Background())
		stop(t, s)
		stop(t, s)
		if err := c.Ping(t.Context()); err == nil {
			t.Error("a session outlived the server")
		}
		if _, err := os.Stat(socketFolder(t, dir)); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("socket folder: %v, want it gone", err)
		}
	})
	t.Run("a database with an awkward name is made once", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir, Volatile: true})
		const name = `it's a "name" \ of sorts`
		for range 2 {
			if err := s.CreateDatabase(t.Context(), name); err != nil {
				t.Fatal(err)
			}
		}
		if got := query(t, s.DSN(name), "SELECT current_database()"); got != name {
			t.Errorf("connected to %q, want %q", got, name)
		}
	})
	t.Run("a server that dies closes Done, and Stop returns an error", func(t *testing.T) {
		s := start(t, localpg.Options{Dir: dir, Volatile: true})
		if err := syscall.Kill(postmaster(t, dir), syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		select {
		case <-s.Done():
		case <-time.After(10 * time.Second):
			t.Fatal("done is still open")
		}
		if err := s.Stop(); err == nil {
			t.Error("stop of a killed server gave no error")
		}
	})
}

func TestStartAsRoot(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("not root")
	}
	t.Run("the error names a closed parent folder, whose mode stays", func(t *testing.T) {
		programs(t)
		closed := filepath.Join(folder(t), "closed")
		if err := os.Mkdir(closed, 0o700); err != nil {
			t.Fatal(err)
		}
		_, err := localpg.Start(t.Context(), localpg.Options{Dir: filepath.Join(closed, "a", "b")})
		if !errors.Is(err, localpg.ErrClosedFolder) || !strings.Contains(err.Error(), closed+" (") ||
			!strings.Contains(err.Error(), "/var/lib/saltbush") {
			t.Errorf("error = %v, want one that names %s and what to do", err, closed)
		}
		if st, err := os.Stat(closed); err != nil || st.Mode().Perm() != 0o700 {
			t.Errorf("mode of the folder is now %v, %v", st.Mode(), err)
		}
	})
	t.Run("the server runs as nobody on request, and only the data change owner", func(t *testing.T) {
		dir := pgtest.Cluster(t)
		foreign := filepath.Join(dir, "foreign")
		write(t, foreign, "")
		stop(t, start(t, localpg.Options{Dir: dir, Volatile: true}))
		start(t, localpg.Options{Dir: dir, Volatile: true, User: "nobody"})
		if got := ownerOf(t, filepath.Join(dir, "data", "base")); got == 0 {
			t.Error("data belong to root")
		}
		for _, p := range []string{dir, foreign} {
			if got := ownerOf(t, p); got != 0 {
				t.Errorf("%s was given to uid %d", p, got)
			}
		}
	})
	t.Run("data of a person stay theirs", func(t *testing.T) {
		dir := pgtest.Cluster(t)
		stop(t, start(t, localpg.Options{Dir: dir, Volatile: true, User: "nobody"}))
		want := ownerOf(t, filepath.Join(dir, "data"))
		stop(t, start(t, localpg.Options{Dir: dir, Volatile: true}))
		if got := ownerOf(t, filepath.Join(dir, "data")); got != want {
			t.Errorf("data now belong to uid %d, before to %d", got, want)
		}
	})
	t.Run("an unknown account and root are refused", func(t *testing.T) {
		programs(t)
		for _, name := range []string{"no-such-account", "root"} {
			if _, err := localpg.Start(t.Context(), localpg.Options{Dir: pgtest.Folder(t), User: name}); err == nil ||
				!strings.Contains(err.Error(), name) {
				t.Errorf("error = %v, want one that names %s", err, name)
			}
		}
	})
	t.Run("a narrow umask does not matter", func(t *testing.T) {
		takesLong(t)
		defer syscall.Umask(syscall.Umask(0o077))
		start(t, localpg.Options{Dir: filepath.Join(pgtest.Folder(t), "a", "b"), Volatile: true})
	})
}

func ownerOf(t *testing.T, path string) uint32 {
	t.Helper()
	var st syscall.Stat_t
	if err := syscall.Stat(path, &st); err != nil {
		t.Fatal(err)
	}
	return st.Uid
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkStart(b *testing.B) {
	for _, bb := range []struct {
		name           string
		cold, volatile bool
	}{{"cold", true, false}, {"cold volatile", true, true}, {"warm", false, false}} {
		b.Run(bb.name, func(b *testing.B) {
			dir := folder(b)
			if !bb.cold {
				stop(b, start(b, localpg.Options{Dir: dir}))
			}
			for b.Loop() {
				if bb.cold {
					b.StopTimer()
					dir = folder(b)
					b.StartTimer()
				}
				s := start(b, localpg.Options{Dir: dir, Volatile: bb.volatile})
				b.StopTimer()
				stop(b, s)
				b.StartTimer()
			}
		})
	}
}
