package localpg

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// Errors of Fetch, for errors.Is.
var (
	// ErrUnreachable means that the repository did not answer.
	ErrUnreachable = errors.New("repository of server programs not reachable")
	// ErrNoBuild means that there is no build for this machine.
	ErrNoBuild = errors.New("no build of the server programs for this machine")
	// ErrChecksum means that the download does not have the expected checksum.
	ErrChecksum = errors.New("checksum does not match")
)

const (
	// defaultBaseURL is Maven Central, which hosts the builds of the project
	// zonkyio/embedded-postgres-binaries (Apache-2.0).
	defaultBaseURL = "https://repo1.maven.org/maven2"
	// defaultVersion is the default build of fergusstrange/embedded-postgres v1.34.0
	// (config.go, V18).
	defaultVersion = "18.3.0"

	// Our judgment: a similar build (PostgreSQL 18.4 for linux-x64) unpacks to 60 MB. The
	// limits are several times that, and keep a wrong file from filling a small disk.
	maxJar     = 200 << 20
	maxTree    = 600 << 20
	maxEntries = 20_000

	// maxSumFile is the size limit of a published checksum: 64 hex digits and maybe a file name.
	maxSumFile = 1 << 10

	// fetchPatience is the time limit of a request.
	// Our judgment: 200 MB in half an hour is 0.9 Mbit/s.
	fetchPatience = 30 * time.Minute
)

// FetchOptions are the options of Fetch. The zero value downloads the default build for this
// machine into the default cache, silently.
type FetchOptions struct {
	// BaseURL is a Maven repository; "" is Maven Central.
	BaseURL string
	// CacheDir is the folder for the unpacked build; "" is DefaultCacheDir.
	CacheDir string
	// Version is the version of the build, such as "18.3.0".
	Version string
	// Platform is the system and processor in the names of the builds, such as
	// "linux-arm64v8-alpine"; "" is this machine's.
	Platform string
	// Sums are pinned SHA-256 sums in hexadecimal, by the name of the jar. A jar without one is
	// checked over HTTPS against its published sum, which is then pinned in the cache.
	Sums map[string]string
	// Progress receives messages, and a progress bar if it is a terminal.
	Progress io.Writer
	// Client makes the requests; nil is a client with a time limit.
	Client *http.Client
}

// Fetch downloads a build of the server programs into the cache, if it is not there yet, and
// returns the folder of the programs. The cache never holds a partial build. The error is
// ErrUnreachable, ErrNoBuild or ErrChecksum, or about the disk.
func Fetch(ctx context.Context, o FetchOptions) (programs string, err error) {
	o, err = o.withDefaults()
	if err != nil {
		return "", err
	}
	final := filepath.Join(o.CacheDir, "postgres-"+o.Version+"-"+o.Platform)
	programs = filepath.Join(final, "bin")
	if holdsPrograms(programs) {
		return programs, nil
	}
	if err := makeDir(o.CacheDir, 0o755); err != nil {
		return "", fmt.Errorf("make cache for the server programs: %w", err)
	}
	sweep(o.CacheDir)
	work, err := os.MkdirTemp(o.CacheDir, workPrefix)
	if err != nil {
		return "", fmt.Errorf("make room in the cache: %w", err)
	}
	defer os.RemoveAll(work)
	if err := o.fetchInto(ctx, work, final); err != nil {
		return "", err
	}
	return programs, nil
}

// fetchInto does the work of Fetch in a temporary folder.
func (o FetchOptions) fetchInto(ctx context.Context, work, final string) error {
	sum, pinned, err := o.wantedSum(ctx)
	if err != nil {
		return err
	}
	o.say("Fetching PostgreSQL %s for %s from %s%s\n", o.Version, o.Platform, o.host(), trustNote(pinned))
	jar := filepath.Join(work, "build.jar")
	got, err := o.download(ctx, jar)
	if err != nil {
		return err
	}
	if got != sum {
		return fmt.Errorf("%w: %s has SHA-256 %s, wanted %s", ErrChecksum, o.jarURL(), got, sum)
	}
	tree := filepath.Join(work, "tree")
	if err := unpack(jar, tree); err != nil {
		return fmt.Errorf("unpack %s: %w", o.jarName(), err)
	}
	if _, err := majorOf(ctx, filepath.Join(tree, "bin")); err != nil {
		return &remedyError{fmt.Sprintf("the build for %s does not run on this machine (%v)",
			o.Platform, err), []error{ErrNoBuild, err}}
	}
	if err := os.Rename(tree, final); err != nil && !holdsPrograms(filepath.Join(final, "bin")) {
		return fmt.Errorf("put the build in place: %w", err) // unless another process was first
	}
	return o.remember(sum)
}

func trustNote(pinned bool) string {
	if pinned {
		return ""
	}
	return " (no checksum is pinned for it: it is checked against the one published there, which is pinned from now on)"
}

func (o FetchOptions) withDefaults() (FetchOptions, error) {
	if o.BaseURL == "" {
		o.BaseURL = defaultBaseURL
	}
	if o.CacheDir == "" {
		o.CacheDir = DefaultCacheDir(os.Getenv)
	}
	if o.Version == "" {
		o.Version = defaultVersion
	}
	if o.Client == nil {
		o.Client = &http.Client{Timeout: fetchPatience}
	}
	if o.Platform != "" {
		return o, nil
	}
	_, err := os.Stat("/etc/alpine-release")
	o.Platform, err = platform(runtime.GOOS, runtime.GOARCH, err == nil)
	return o, err
}

// platform returns the name of a machine's builds, after version_strategy.go of
// fergusstrange/embedded-postgres v1.34.0. Other processors are left out because we have not
// tried them.
func platform(goos, goarch string, alpine bool) (string, error) {
	arch := map[string]string{"amd64": "amd64", "arm64": "arm64v8"}[goarch]
	if arch == "" || goos != "linux" && goos != "darwin" {
		fault := "there is no build of PostgreSQL to fetch for " + goos + "/" + goarch
		return "", &remedyError{fault, []error{ErrNoBuild}}
	}
	if alpine {
		arch += "-alpine"
	}
	return goos + "-" + arch, nil
}

func (o FetchOptions) jarName() string {
	return fmt.Sprintf("embedded-postgres-binaries-%s-%s.jar", o.Platform, o.Version)
}

func (o FetchOptions) jarURL() string {
	return fmt.Sprintf("%s/io/zonky/test/postgres/embedded-postgres-binaries-%s/%s/%s",
		strings.TrimRight(o.BaseURL, "/"), o.Platform, o.Version, o.jarName())
}

func (o FetchOptions) host() string {
	u, err := url.Parse(o.BaseURL)
	if err != nil || u.Host == "" {
		return o.BaseURL
	}
	return u.Host
}

// download writes the jar and returns its SHA-256 in hexadecimal.
func (o FetchOptions) download(ctx context.Context, to string) (sum string, err error) {
	resp, err := o.get(ctx, o.jarURL())
	if err != nil {
		return "", err
	}
	defer resp.Body.Close()
	if resp.ContentLength > maxJar {
		return "", fmt.Errorf("%s is too large: %d bytes, limit %d", o.jarURL(), resp.ContentLength, maxJar)
	}
	f, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return "", err
	}
	defer f.Close()
	hash := sha256.New()
	bar := newBar(o.Progress, resp.ContentLength)
	n, err := io.Copy(io.MultiWriter(f, hash, bar), io.LimitReader(resp.Body, maxJar+1))
	bar.end()
	if err != nil {
		return "", fmt.Errorf("fetch %s: broke off after %d bytes: %w", o.jarURL(), n, err)
	}
	if n > maxJar {
		return "", fmt.Errorf("%s is too large: limit %d bytes", o.jarURL(), maxJar)
	}
	return hex.EncodeToString(hash.Sum(nil)), f.Close()
}

// get returns a response with status 200. The caller must close its body.
func (o FetchOptions) get(ctx context.Context, from string) (*http.Response, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, from, nil)
	if err != nil {
		return nil, fmt.Errorf("fetch server programs: %w", err)
	}
	resp, err := o.Client.Do(req)
	if ctx.Err() != nil {
		if err == nil {
			resp.Body.Close()
		}
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, &remedyError{"cannot reach " + o.host() + " for the PostgreSQL server programs",
			[]error{ErrUnreachable, err}}
	}
	if resp.StatusCode == http.StatusOK {
		return resp, nil
	}
	resp.Body.Close()
	if resp.StatusCode == http.StatusNotFound {
		return nil, &remedyError{fmt.Sprintf("%s has no %s", o.host(), filepath.Base(from)), []error{ErrNoBuild}}
	}
	return nil, &remedyError{fmt.Sprintf("%s answered %q when asked for the PostgreSQL server programs",
		o.host(), resp.Status), []error{ErrUnreachable}}
}

func (o FetchOptions) say(format string, args ...any) {
	if o.Progress != nil {
		fmt.Fprintf(o.Progress, format, args...)
	}
}

const workPrefix = ".fetch-"

// sweep removes what killed fetches left. Our judgment: no fetch runs for a day.
func sweep(cache string) {
	left, _ := filepath.Glob(filepath.Join(cache, workPrefix+"*"))
	for _, d := range left {
		if st, err := os.Stat(d); err == nil && time.Since(st.ModTime()) > 24*time.Hour {
			_ = os.RemoveAll(d)
		}
	}
}
