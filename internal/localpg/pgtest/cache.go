package pgtest

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/pressly/goose/v3"

	"saltbush/internal/localpg"
	"saltbush/migrations"
)

// cache holds the data of clusters between runs, one archive for each way to make them, so
// that test binaries need not run initdb and the migrations. A nil cache is empty.
type cache struct {
	dir string
	key string // of the data that this binary needs
}

// Our judgment: a week limits the harm of anything that the key does not cover, and people
// work on a few branches at once. An archive has 50 MB.
const (
	cachedFor = 7 * 24 * time.Hour
	cachedMax = 6
)

// errNotCached means that the data must be made.
var errNotCached = errors.New("not in the cache")

// openCache opens the cache in the user's cache folder, or returns nil if there is none.
func openCache(programs string) (*cache, error) {
	recipe, err := localpg.Recipe(programs, true)
	if err != nil {
		return nil, err
	}
	key, err := keyOf(recipe+sourceOf(goose.NewProvider), migrations.Files, sources)
	if err != nil {
		return nil, err
	}
	user, err := os.UserCacheDir()
	if err != nil {
		return nil, nil
	}
	dir := filepath.Join(user, "saltbush-pgtest")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, nil
	}
	return &cache{dir: dir, key: key}, nil
}

// sources are the files of this package that determine the content of an archive.
//
//go:embed archive.go cache.go cluster.go
var sources embed.FS

// keyOf returns a key of a text and of the names and contents of all files.
func keyOf(text string, all ...fs.FS) (string, error) {
	h := sha256.New()
	fmt.Fprintln(h, text)
	for _, files := range all {
		if err := hashFiles(h, files); err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12]), nil
}

func hashFiles(h io.Writer, files fs.FS) error {
	return fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(files, path)
		fmt.Fprintf(h, "%s %x\n", path, sha256.Sum256(b))
		return err
	})
}

// sourceOf returns the path of a function's source file. For a dependency it contains the
// version, which debug.ReadBuildInfo lacks in a test binary.
func sourceOf(function any) string {
	f := runtime.FuncForPC(reflect.ValueOf(function).Pointer())
	path, _ := f.FileLine(f.Entry())
	return path
}

func (c *cache) archive() string { return filepath.Join(c.dir, c.key+".tar") }

// load copies the cached data into a new folder. The error is always errNotCached.
func (c *cache) load(data string) error {
	if c == nil {
		return errNotCached
	}
	st, err := os.Stat(c.archive())
	if err != nil || time.Since(st.ModTime()) > cachedFor {
		return errNotCached
	}
	err = unpack(data, c.archive())
	if errors.Is(err, errDamaged) {
		c.drop()
	}
	if err != nil {
		return errors.Join(errNotCached, err, os.RemoveAll(data))
	}
	return nil
}

// drop removes an archive that cannot be used.
func (c *cache) drop() { _ = os.Remove(c.archive()) }

// save stores the data of a stopped cluster. A failure only makes later runs slower.
func (c *cache) save(data string) {
	if c == nil {
		return
	}
	fresh := fmt.Sprintf("%s.%d", c.archive(), os.Getpid())
	err := pack(fresh, data)
	if err == nil {
		err = os.Rename(fresh, c.archive())
	}
	if err != nil {
		_ = os.Remove(fresh)
	}
	c.sweep()
}

// lock makes other binaries wait while this one makes the data.
func (c *cache) lock() (unlock func()) {
	if c == nil {
		return func() {}
	}
	f, err := lockFile(filepath.Join(c.dir, "lock"), syscall.LOCK_EX)
	if err != nil {
		return func() {} // both make the data, and the last one stores it
	}
	return func() { f.Close() }
}

// sweep removes old and surplus archives, and the leftovers of killed binaries.
func (c *cache) sweep() {
	entries, _ := os.ReadDir(c.dir)
	var archives []fs.FileInfo
	for _, e := range entries {
		st, err := e.Info()
		if err == nil && strings.Contains(e.Name(), ".tar") {
			archives = append(archives, st)
		}
	}
	slices.SortFunc(archives, func(a, b fs.FileInfo) int { return b.ModTime().Compare(a.ModTime()) })
	for i, st := range archives {
		if i >= cachedMax || time.Since(st.ModTime()) > cachedFor {
			_ = os.Remove(filepath.Join(c.dir, st.Name()))
		}
	}
}
