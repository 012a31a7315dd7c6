package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// ErrClosedFolder means that the account that the server runs as cannot enter a folder.
var ErrClosedFolder = errors.New("folder is closed to the database's account")

// account is the account that the server runs as if this process is root, because PostgreSQL
// refuses to run as root. A nil account is the account of this process.
type account struct {
	name     string
	uid, gid uint32
}

// chooseAccount returns the wanted account, else the owner of existing data, so that one run
// as root does not change the owner of a database, else postgres or nobody.
func chooseAccount(wanted, data string) (*account, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	if wanted != "" {
		return lookup(wanted)
	}
	if uid, gid, ok := owner(filepath.Join(data, "PG_VERSION")); ok && uid != 0 {
		return &account{"of uid " + strconv.FormatUint(uint64(uid), 10), uid, gid}, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		if a, err := lookup(name); err == nil {
			return a, nil
		}
	}
	return nil, errors.New("started as root, and there is no account postgres or nobody to run the database as")
}

func lookup(name string) (*account, error) {
	u, err := user.Lookup(name)
	if err != nil {
		return nil, fmt.Errorf("look up the database's account: %w", err)
	}
	uid, err := strconv.ParseInt(u.Uid, 10, 64)
	if err != nil {
		return nil, fmt.Errorf("account %s has uid %q: %w", name, u.Uid, err)
	}
	gid, err := strconv.ParseInt(u.Gid, 10, 64)
	if err != nil {
		return nil, fmt.Errorf("account %s has gid %q: %w", name, u.Gid, err)
	}
	if uint32(uid) == 0 {
		return nil, fmt.Errorf("account %s is root, which PostgreSQL refuses", name)
	}
	return &account{name, uint32(uid), uint32(gid)}, nil // macOS has nobody as -2
}

func owner(path string) (uid, gid uint32, ok bool) {
	st, err := os.Lstat(path)
	if err != nil {
		return 0, 0, false
	}
	sys, ok := st.Sys().(*syscall.Stat_t)
	if !ok {
		return 0, 0, false
	}
	return sys.Uid, sys.Gid, true
}

func (a *account) credential() *syscall.Credential {
	if a == nil {
		return nil
	}
	return &syscall.Credential{Uid: a.uid, Gid: a.gid}
}

// own makes the account the owner of dir and its content, if it does not own dir. Callers
// pass only folders that this package made.
func (a *account) own(dir string) error {
	if a == nil {
		return nil
	}
	if uid, _, ok := owner(dir); ok && uid == a.uid {
		return nil
	}
	return filepath.WalkDir(dir, func(p string, _ fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		return os.Lchown(p, int(a.uid), int(a.gid))
	})
}

// checkReach checks that the account can enter dir and the folder of the programs, by running
// the server program once. The mode bits serve only to explain a failure.
func (s *Server) checkReach(ctx context.Context) error {
	if s.account == nil {
		return nil
	}
	c := s.command(ctx, "postgres", "--version")
	c.Dir = s.dir
	err := runPinned(c)
	if err == nil {
		return nil
	}
	if ctx.Err() != nil { // the killed program says nothing about the folders
		return ctx.Err()
	}
	advice := map[string]string{
		s.dir:      "choose a data folder outside it, such as /var/lib/saltbush",
		s.programs: "install the server programs outside it",
	}
	for _, dir := range []string{s.dir, s.programs} {
		if closed := s.account.closed(dir); closed != "" {
			return fmt.Errorf("%w: account %s cannot enter %s (PostgreSQL refuses to run as root): "+
				"%s, or start the program as an ordinary user", ErrClosedFolder, s.account.name, closed, advice[dir])
		}
	}
	return fmt.Errorf("run %s/postgres as account %s: %w", s.programs, s.account.name, err)
}

// closed returns the topmost folder of the path to dir that the account cannot enter by its
// mode bits, or "". Supplementary groups do not count: the server has none.
func (a *account) closed(dir string) string {
	actual, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return ""
	}
	if up := filepath.Dir(actual); up != actual {
		if c := a.closed(up); c != "" {
			return c
		}
	}
	st, err := os.Stat(actual)
	if err != nil {
		return ""
	}
	uid, gid, _ := owner(actual)
	bit := fs.FileMode(0o001)
	switch {
	case uid == a.uid:
		bit = 0o100
	case gid == a.gid:
		bit = 0o010
	}
	if st.Mode()&bit != 0 {
		return ""
	}
	return actual
}
