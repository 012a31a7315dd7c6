package localpg

import (
	"archive/tar"
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// env returns a getenv function of pairs of names and values.
func env(pairs ...string) func(string) string {
	m := map[string]string{}
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i]] = pairs[i+1]
	}
	return func(k string) string { return m[k] }
}

func TestDefaultDirs(t *testing.T) {
	for _, tt := range []struct {
		name        string
		env         func(string) string
		root        bool
		goos        string
		data, cache string
	}{
		{"root", env("HOME", "/root"), true, "linux", "/var/lib/saltbush", "/var/cache/saltbush"},
		{"a person", env("HOME", "/home/kit"), false, "linux", "/home/kit/.local/share/saltbush",
			"/home/kit/.cache/saltbush"},
		{"XDG folders", env("HOME", "/home/kit", "XDG_DATA_HOME", "/d", "XDG_CACHE_HOME", "/c"), false, "linux",
			"/d/saltbush", "/c/saltbush"},
		{"relative XDG folders are ignored", env("HOME", "/h", "XDG_DATA_HOME", "d", "XDG_CACHE_HOME", "c"), false,
			"linux", "/h/.local/share/saltbush", "/h/.cache/saltbush"},
		{"macOS", env("HOME", "/Users/kit", "XDG_DATA_HOME", "/d"), false, "darwin",
			"/Users/kit/Library/Application Support/saltbush", "/Users/kit/Library/Caches/saltbush"},
		{"a service", env("STATE_DIRECTORY", "/var/lib/a:/var/lib/b", "CACHE_DIRECTORY", "/var/cache/a"), false,
			"linux", "/var/lib/a", "/var/cache/a"},
		{"no home", env(), false, "linux", "saltbush-data", "saltbush-cache"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := []string{defaultDir(tt.env, tt.root, tt.goos), defaultCacheDir(tt.env, tt.root, tt.goos)}
			if diff := cmp.Diff([]string{tt.data, tt.cache}, got); diff != "" {
				t.Errorf("data, cache (-want +got):\n%s", diff)
			}
		})
	}
}

// programsIn makes a folder with fake programs.
func programsIn(t *testing.T, parts ...string) string {
	t.Helper()
	dir := filepath.Join(parts...)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, n := range []string{"initdb", "postgres"} {
		if err := os.WriteFile(filepath.Join(dir, n), nil, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestCandidates(t *testing.T) {
	root := t.TempDir()
	set := programsIn(t, root, "set")
	onPath := programsIn(t, root, "real", "bin")
	nine, fifteen, seventeen := programsIn(t, root, "pg", "9.6", "bin"), programsIn(t, root, "pg", "15", "bin"),
		programsIn(t, root, "pg", "17", "bin")
	cached := programsIn(t, root, "cache", "postgres-18.3.0-linux-amd64", "bin")
	links := filepath.Join(root, "links")
	if err := os.Mkdir(links, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(onPath, "postgres"), filepath.Join(links, "postgres")); err != nil {
		t.Fatal(err)
	}
	getenv := env("SALTBUSH_PG_BIN", set, "PATH", "relative:"+filepath.Join(root, "empty")+":"+links+":"+onPath,
		"CACHE_DIRECTORY", filepath.Join(root, "cache"))
	got := candidates(getenv, []string{filepath.Join(root, "pg", "*", "bin")})
	if diff := cmp.Diff([]string{set, onPath, seventeen, fifteen, nine, cached}, got); diff != "" {
		t.Errorf("candidates (-want +got):\n%s", diff)
	}
}

func TestFindPrograms(t *testing.T) {
	t.Run("a wrong setting is an error", func(t *testing.T) {
		_, err := FindPrograms(env("SALTBUSH_PG_BIN", "/nowhere", "PATH", os.Getenv("PATH")))
		if !errors.Is(err, ErrNoPrograms) || !strings.Contains(err.Error(), "/nowhere") ||
			!strings.Contains(err.Error(), "apt install") {
			t.Errorf("error = %v, want ErrNoPrograms that names it", err)
		}
	})
	t.Run("the setting comes first", func(t *testing.T) {
		want := programsIn(t, t.TempDir(), "bin")
		if got, err := FindPrograms(env("SALTBUSH_PG_BIN", want)); err != nil || got != want {
			t.Errorf("found %q, %v; want %q", got, err, want)
		}
	})
}

func TestMajorIn(t *testing.T) {
	for _, tt := range []struct {
		name, in string
		want     int
		bad      bool
	}{
		{"Debian", "postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)\n", 15, false},
		{"beta", "postgres (PostgreSQL) 19beta1", 19, false},
		{"old", "postgres (PostgreSQL) 9.6.24", 9, false},
		{"something else", "hello 15", 0, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := majorIn(tt.in); got != tt.want || (err != nil) != tt.bad {
				t.Errorf("majorIn(%q) = %d, %v; want %d", tt.in, got, err, tt.want)
			}
		})
	}
}

func TestPlatform(t *testing.T) {
	for _, tt := range []struct {
		goos, goarch string
		alpine       bool
		want         string
	}{
		{"linux", "amd64", false, "linux-amd64"},
		{"linux", "arm64", false, "linux-arm64v8"},
		{"linux", "amd64", true, "linux-amd64-alpine"},
		{"darwin", "arm64", false, "darwin-arm64v8"},
		{"linux", "riscv64", false, ""},
		{"plan9", "amd64", false, ""},
	} {
		t.Run(tt.goos+" "+tt.goarch, func(t *testing.T) {
			got, err := platform(tt.goos, tt.goarch, tt.alpine)
			if got != tt.want || errors.Is(err, ErrNoBuild) != (tt.want == "") {
				t.Errorf("platform = %q, %v; want %q", got, err, tt.want)
			}
		})
	}
}

func TestUntarLimits(t *testing.T) {
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, n := range []string{"a", "b", "c"} {
		if err := w.WriteHeader(&tar.Header{Name: n, Size: 10, Mode: 0o644}); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(make([]byte, 10)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name    string
		bytes   int64
		entries int
		want    string
	}{
		{"within limits", 30, 4, ""},
		{"too many bytes", 29, 4, "too large"},
		{"too many entries", 30, 2, "more than 2 entries"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := untar(bytes.NewReader(b.Bytes()), t.TempDir(), tt.bytes, tt.entries)
			if (err == nil) != (tt.want == "") || err != nil && !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error = %v, want %q", err, tt.want)
			}
		})
	}
}

func TestBarLine(t *testing.T) {
	for _, tt := range []struct {
		name string
		bar  bar
		want string
	}{
		{"half", bar{done: 15e6, total: 30e6}, "  [###############               ]  50 %   15.0 of 30.0 MB"},
		{"whole", bar{done: 30e6, total: 30e6}, "  [##############################] 100 %   30.0 of 30.0 MB"},
		{"size unknown", bar{done: 15e6, total: -1}, "  15.0 MB"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.bar.line(); got != tt.want {
				t.Errorf("line = %q, want %q", got, tt.want)
			}
		})
	}
}
