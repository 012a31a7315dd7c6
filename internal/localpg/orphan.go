package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// stopPatience is how long a fast shutdown may take.
// Our judgment: a checkpoint of a database of this size takes well under a second.
const stopPatience = 20 * time.Second

// Sweep ends the server that a killed holder of dir left behind, and removes its socket
// folder. It keeps the data. The error is ErrInUse while the holder is alive.
func Sweep(dir string) error {
	if _, err := os.Stat(dir); err != nil {
		return err
	}
	s := &Server{dir: dir}
	if err := s.hold(); err != nil {
		return err
	}
	defer s.release()
	s.sweepSocket()
	err := stopOrphan(s.data())
	if errors.Is(err, fs.ErrNotExist) { // no cluster was made
		return nil
	}
	return err
}

// stopOrphan ends a server that outlived its parent, and removes the pid file.
//
// The caller holds the lock of the folder, so a server that still runs there has lost its
// parent. A killed server that nobody reaps (PID 1 of many containers reaps none) stays a
// zombie. Postgres takes the zombie for a live owner of the pid file and refuses to start.
func stopOrphan(data string) error {
	actual, err := filepath.EvalSymlinks(data) // as the kernel shows working folders
	if err != nil {
		return err
	}
	pid := pidIn(actual)
	for end := time.Now().Add(stopPatience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		procs := serving(actual)
		if len(procs) == 0 {
			return dropPidFile(actual)
		}
		endServers(pid, procs)
	}
	return fmt.Errorf("a left-over server on %s (pid %d) does not end: stop it by hand", data, pid)
}

// endServers asks the postmaster for a fast shutdown, or, if it is gone, its children to quit
// at once. Crash recovery handles both.
func endServers(postmaster int, procs []int) {
	if slices.Contains(procs, postmaster) {
		_ = syscall.Kill(postmaster, syscall.SIGINT)
		return
	}
	for _, p := range procs {
		_ = syscall.Kill(p, syscall.SIGQUIT)
	}
}

// pidIn reads the process id of the postmaster from its pid file, or returns 0.
func pidIn(data string) int {
	b, err := os.ReadFile(filepath.Join(data, "postmaster.pid"))
	if err != nil {
		return 0
	}
	line, _, _ := strings.Cut(string(b), "\n")
	pid, _ := strconv.Atoi(strings.TrimSpace(line))
	return pid
}

// readyIn reports whether the postmaster wrote into its pid file that it takes sessions.
// Connecting earlier makes it fork a process just to refuse.
func readyIn(data string) bool {
	b, err := os.ReadFile(filepath.Join(data, "postmaster.pid"))
	if err != nil {
		return false
	}
	lines := strings.Split(string(b), "\n")
	return len(lines) >= stateLine && strings.TrimSpace(lines[stateLine-1]) == "ready"
}

// stateLine is the line of the pid file with the state of the server (PostgreSQL 10 and newer,
// LOCK_FILE_LINE_PM_STATUS).
const stateLine = 8

func dropPidFile(data string) error {
	err := os.Remove(filepath.Join(data, "postmaster.pid"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
