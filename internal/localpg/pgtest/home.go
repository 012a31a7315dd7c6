package pgtest

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"syscall"

	"saltbush/internal/localpg"
)

// home is the folder of a test binary's cluster. Its lock is held while the binary runs, which
// distinguishes it from a left-over folder.
type home struct {
	dir  string
	lock *os.File
}

// roomy is the free space that we require in shared memory.
// Our judgment: an empty cluster takes 40 MB and each copy 8 MB; the 64 MB of a container
// (Docker's default) are too little.
const roomy = 512 << 20

const ownerFile = "owner"

// newHome removes folders whose owner is dead, and makes a new one. A second lock keeps other
// binaries from removing it before it is locked.
func newHome() (*home, error) {
	parent, err := parentFolder()
	if err != nil {
		return nil, err
	}
	prefix := "saltbush-pgtest-" + strconv.Itoa(os.Geteuid())
	gate, err := lockFile(filepath.Join(parent, prefix+".gate"), syscall.LOCK_EX)
	if err != nil {
		return nil, err
	}
	defer gate.Close()
	sweep(filepath.Join(parent, prefix+"-*"))
	dir, err := os.MkdirTemp(parent, prefix+"-")
	if err != nil {
		return nil, err
	}
	if err := os.Chmod(dir, 0o711); err != nil { // the account of the server must be able to enter
		return nil, err
	}
	lock, err := lockFile(filepath.Join(dir, ownerFile), syscall.LOCK_EX)
	if err != nil {
		return nil, err
	}
	return &home{dir, lock}, nil
}

func (h *home) remove() error {
	return errors.Join(os.RemoveAll(h.dir), h.lock.Close())
}

// parentFolder returns where to put clusters: shared memory, else a temporary folder that any
// account can enter. t.TempDir of root cannot be entered.
func parentFolder() (string, error) {
	for _, c := range []struct {
		dir string
		min uint64
	}{{"/dev/shm", roomy}, {os.TempDir(), 0}, {"/tmp", 0}, {"/var/tmp", 0}} {
		if open(c.dir) && free(c.dir) >= c.min {
			return c.dir, nil
		}
	}
	return "", fmt.Errorf("no folder for temporary files that every account can enter (looked at %s and /tmp)",
		os.TempDir())
}

// open reports whether we can write to dir and, if we are root, any account can enter it: the
// server then runs as another account.
func open(dir string) bool {
	if syscall.Access(dir, 0x2) != nil { // W_OK of access(2)
		return false
	}
	for d := dir; os.Geteuid() == 0; d = filepath.Dir(d) {
		st, err := os.Stat(d)
		if err != nil || st.Mode()&0o001 == 0 {
			return false
		}
		if d == filepath.Dir(d) {
			break
		}
	}
	return true
}

func free(dir string) uint64 {
	var st syscall.Statfs_t
	if err := syscall.Statfs(dir, &st); err != nil {
		return 0
	}
	return uint64(st.Bavail) * uint64(st.Bsize)
}

// sweep removes the folders whose lock is free.
func sweep(glob string) {
	dirs, _ := filepath.Glob(glob)
	for _, d := range dirs {
		lock, err := lockFile(filepath.Join(d, ownerFile), syscall.LOCK_EX|syscall.LOCK_NB)
		if err != nil {
			continue
		}
		sweepClusters(d)
		_ = os.RemoveAll(d)
		lock.Close()
	}
}

// sweepClusters ends what still serves a cluster under dir.
func sweepClusters(dir string) {
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return fs.SkipDir
		}
		if d.IsDir() && d.Name() == "data" {
			_ = localpg.Sweep(filepath.Dir(path))
			return fs.SkipDir
		}
		return nil
	})
}

func lockFile(name string, how int) (*os.File, error) {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), how); err != nil {
		f.Close()
		return nil, fmt.Errorf("lock %s: %w", name, err)
	}
	return f, nil
}
