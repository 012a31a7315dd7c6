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

// home is the folder of one test binary's cluster. It holds a lock as long as the binary
// lives, which tells a folder in use from a left-over one.
type home struct {
	dir  string
	lock *os.File
}

// roomy is the free space that shared memory must have to be chosen.
// House judgement: an empty cluster takes 40 MB and each copy 8 MB; a container's 64 MB
// (Docker's default) would fill up.
const roomy = 512 << 20

const ownerFile = "owner"

// newHome makes a folder after sweeping away those whose owner is dead. A gate keeps
// others from sweeping it before it is locked.
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
	if err := os.Chmod(dir, 0o711); err != nil { // the server's account must pass
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

// parentFolder picks where clusters lie: shared memory, else a folder for temporary files
// that any account can enter, which t.TempDir of root is not.
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

// open reports whether any account can enter dir, where that matters: root's server runs
// as another account.
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

// sweep removes the folders whose owner's lock is free.
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
