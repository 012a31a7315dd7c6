package localpg

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// DefaultDir returns the default folder of the data.
//
// $STATE_DIRECTORY of a service manager comes first. For root it is /var/lib/saltbush, because
// the account that the server runs as cannot enter root's home. For others it is in their
// home: Library/Application Support on macOS, else $XDG_DATA_HOME or ~/.local/share. Without a
// home it is saltbush-data in the current folder.
func DefaultDir(getenv func(string) string) string {
	return defaultDir(getenv, os.Geteuid() == 0, runtime.GOOS)
}

// DefaultCacheDir returns the default folder of fetched server programs, the cache folder that
// corresponds to DefaultDir. For root it is /var/cache/saltbush, which the account of the
// server can enter.
func DefaultCacheDir(getenv func(string) string) string {
	return defaultCacheDir(getenv, os.Geteuid() == 0, runtime.GOOS)
}

func defaultDir(getenv func(string) string, root bool, goos string) string {
	// systemd.exec(5), StateDirectory=: a colon-separated list of absolute paths.
	if d := firstOf(getenv("STATE_DIRECTORY")); d != "" {
		return d
	}
	if root {
		return "/var/lib/saltbush"
	}
	if d := homeDir(getenv, goos, "Library/Application Support", "XDG_DATA_HOME", ".local/share"); d != "" {
		return d
	}
	return "saltbush-data"
}

func defaultCacheDir(getenv func(string) string, root bool, goos string) string {
	// systemd.exec(5), CacheDirectory=: a colon-separated list of absolute paths.
	if d := firstOf(getenv("CACHE_DIRECTORY")); d != "" {
		return d
	}
	if root {
		return "/var/cache/saltbush"
	}
	if d := homeDir(getenv, goos, "Library/Caches", "XDG_CACHE_HOME", ".cache"); d != "" {
		return d
	}
	return "saltbush-cache"
}

// homeDir follows the XDG Base Directory Specification 0.8, which ignores relative values, and
// on macOS Apple's File System Programming Guide. It is "" without a home.
func homeDir(getenv func(string) string, goos, apple, xdg, dot string) string {
	home := getenv("HOME")
	if goos == "darwin" {
		dot = apple
	} else if d := getenv(xdg); filepath.IsAbs(d) {
		return filepath.Join(d, "saltbush")
	}
	if !filepath.IsAbs(home) {
		return ""
	}
	return filepath.Join(home, dot, "saltbush")
}

func firstOf(list string) string {
	first, _, _ := strings.Cut(list, ":")
	return first
}

// makeDir creates dir and its missing parents. It sets the mode of those regardless of the
// umask, so that the account of the server can enter.
func makeDir(dir string, mode fs.FileMode) error {
	if st, err := os.Stat(dir); err == nil {
		if !st.IsDir() {
			return &fs.PathError{Op: "open folder", Path: dir, Err: errors.New("is a file")}
		}
		return nil
	}
	if err := makeDir(filepath.Dir(dir), mode); err != nil {
		return err
	}
	if err := os.Mkdir(dir, mode); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return nil // created by another process
		}
		return err
	}
	return os.Chmod(dir, mode)
}
