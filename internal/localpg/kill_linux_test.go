package localpg_test

import (
	"bufio"
	"errors"
	"io/fs"
	"os"
	osexec "os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
)

// TestKill kills the process that started a cluster (this test binary run again) and its
// server in several ways. The next start must find the data intact. With -short only two ways
// are tried.
func TestKill(t *testing.T) {
	for _, tt := range []struct {
		name string
		long bool
		kill func(t *testing.T, c *osexec.Cmd, postmaster int)
	}{
		{"the parent: the server ends too", true, func(t *testing.T, c *osexec.Cmd, pm int) {
			signal(t, c.Process.Pid, syscall.SIGKILL)
			waitGone(t, pm)
		}},
		{"the parent: the next start does not wait", false, func(t *testing.T, c *osexec.Cmd, _ int) {
			signal(t, c.Process.Pid, syscall.SIGKILL)
		}},
		{"the parent of a stopped server: the orphan is ended", true, func(t *testing.T, c *osexec.Cmd, pm int) {
			signal(t, pm, syscall.SIGSTOP) // delays the death signal
			signal(t, c.Process.Pid, syscall.SIGKILL)
			time.AfterFunc(300*time.Millisecond, func() { _ = syscall.Kill(pm, syscall.SIGCONT) })
		}},
		{"both: crash recovery, with the server a zombie", false, func(t *testing.T, c *osexec.Cmd, pm int) {
			freeze(t, c) // so that it does not reap the server
			signal(t, pm, syscall.SIGKILL)
			signal(t, c.Process.Pid, syscall.SIGKILL)
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.long {
				takesLong(t)
			}
			dir := pgtest.Cluster(t)
			adoptOrphans(t)
			c, dsn := startChild(t, dir)
			exec(t, dsn, "CREATE TABLE kept AS SELECT 'yes' AS v")
			socket := socketFolder(t, dir)
			tt.kill(t, c, postmaster(t, dir))
			_ = c.Wait()
			s := start(t, localpg.Options{Dir: dir})
			if got := query(t, s.DSN("postgres"), "SELECT v FROM kept"); got != "yes" {
				t.Errorf("after the kill got %q", got)
			}
			if _, err := os.Stat(socket); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("left-over socket folder %s: %v, want it removed", socket, err)
			}
		})
	}
}

// TestSweep checks that Sweep leaves a held folder alone, and ends the server of a killed
// holder.
func TestSweep(t *testing.T) {
	dir := pgtest.Cluster(t)
	adoptOrphans(t)
	c, _ := startChild(t, dir)
	if err := localpg.Sweep(dir); !errors.Is(err, localpg.ErrInUse) {
		t.Fatalf("error = %v, want ErrInUse", err)
	}
	pm, socket := postmaster(t, dir), socketFolder(t, dir)
	signal(t, pm, syscall.SIGSTOP) // delays the death signal
	signal(t, c.Process.Pid, syscall.SIGKILL)
	_ = c.Wait()
	time.AfterFunc(50*time.Millisecond, func() { _ = syscall.Kill(pm, syscall.SIGCONT) })
	if err := localpg.Sweep(dir); err != nil {
		t.Fatal(err)
	}
	waitGone(t, pm)
	if _, err := os.Stat(socket); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("socket folder %s: %v, want it gone", socket, err)
	}
	if _, err := os.Stat(filepath.Join(dir, "data", "PG_VERSION")); err != nil {
		t.Errorf("the data: %v, want them kept", err)
	}
}

// TestZombieHoldsPidFile shows why we remove the pid file: the server would take the zombie
// of the last one for alive.
func TestZombieHoldsPidFile(t *testing.T) {
	dir := pgtest.Cluster(t)
	adoptOrphans(t)
	c, _ := startChild(t, dir)
	pm := postmaster(t, dir)
	freeze(t, c)
	signal(t, pm, syscall.SIGKILL)
	signal(t, c.Process.Pid, syscall.SIGKILL)
	_ = c.Wait()
	waitGone(t, pm)
	stat, err := os.ReadFile("/proc/" + strconv.Itoa(pm) + "/stat")
	if err != nil || !strings.Contains(string(stat), ") Z ") {
		t.Fatalf("the killed server is not a zombie: %s, %v", stat, err)
	}
	if got := postmaster(t, dir); got != pm {
		t.Fatalf("pid file names %d, want the zombie %d", got, pm)
	}
	start(t, localpg.Options{Dir: dir})
}

// TestKillWithinInitdb kills the process before there is a cluster.
func TestKillWithinInitdb(t *testing.T) {
	takesLong(t)
	programs(t)
	dir := pgtest.Folder(t)
	c := childCommand(t, dir)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(time.Millisecond) {
		if started, _ := filepath.Glob(filepath.Join(dir, "data.new-*", "PG_VERSION")); started != nil {
			break
		}
		if time.Now().After(end) {
			t.Fatal("initdb did not begin")
		}
	}
	signal(t, c.Process.Pid, syscall.SIGKILL)
	_ = c.Wait()
	start(t, localpg.Options{Dir: dir})
}

// TestShellInDataFolder runs another process in the data folder. It must be neither waited
// for nor ended.
func TestShellInDataFolder(t *testing.T) {
	dir := pgtest.Cluster(t)
	c := osexec.Command("sleep", "60")
	c.Dir = filepath.Join(dir, "data")
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = c.Process.Kill()
		_ = c.Wait()
	}()
	start(t, localpg.Options{Dir: dir, Volatile: true})
	stat, err := os.ReadFile("/proc/" + strconv.Itoa(c.Process.Pid) + "/stat")
	if err != nil || strings.Contains(string(stat), ") Z ") {
		t.Errorf("the bystander was ended: %s, %v", stat, err)
	}
}

func childCommand(t *testing.T, dir string) *osexec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := osexec.Command(exe)
	c.Env = append(os.Environ(), childDir+"="+dir)
	t.Cleanup(func() { _ = c.Process.Kill() })
	return c
}

// startChild starts a child that starts a cluster. It returns the child and the connection
// string that it prints when the cluster is ready.
func startChild(t *testing.T, dir string) (*osexec.Cmd, string) {
	t.Helper()
	c := childCommand(t, dir)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || strings.HasPrefix(line, "error:") {
		t.Fatalf("child: %s %v", line, err)
	}
	return c, strings.TrimSpace(line)
}

// adoptOrphans makes this process the parent of orphans, which it does not reap, like PID 1
// of many containers. prctl(2), PR_SET_CHILD_SUBREAPER = 36.
func adoptOrphans(t *testing.T) {
	t.Helper()
	if _, _, e := syscall.RawSyscall(syscall.SYS_PRCTL, 36, 1, 0); e != 0 {
		t.Fatalf("prctl: %v", e)
	}
}

func signal(t *testing.T, pid int, s syscall.Signal) {
	t.Helper()
	if err := syscall.Kill(pid, s); err != nil {
		t.Fatalf("%v to %d: %v", s, pid, err)
	}
}

// freeze stops a child and returns when all its threads stand: until then one of them may reap
// the server.
func freeze(t *testing.T, c *osexec.Cmd) {
	t.Helper()
	signal(t, c.Process.Pid, syscall.SIGSTOP)
	var status syscall.WaitStatus
	for {
		_, err := syscall.Wait4(c.Process.Pid, &status, syscall.WUNTRACED, nil)
		switch {
		case errors.Is(err, syscall.EINTR):
		case err != nil || !status.Stopped():
			t.Fatalf("wait for process %d to stop: status %v, %v", c.Process.Pid, status, err)
		default:
			return
		}
	}
}

func waitGone(t *testing.T, pid int) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		stat, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
		if err != nil || strings.Contains(string(stat), ") Z ") {
			return
		}
	}
	t.Fatalf("process %d is still there", pid)
}
