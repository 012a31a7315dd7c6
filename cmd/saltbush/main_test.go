package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"regexp"
	"sync"
	"syscall"
	"testing"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/site/sitetest"
)

// asProgram makes the test binary be the program itself, so that a test can kill it.
const asProgram = "SALTBUSH_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	// Programs and the tests' own connections seal medical cards with one key, and no test
	// makes a file for it outside of its folders.
	if err := os.Setenv("SALTBUSH_CARD_KEY", sitetest.CardKey().Reveal()); err != nil {
		panic(err)
	}
	os.Exit(sitetest.Main(m))
}

// needsPrograms skips a test that starts a database of its own where it cannot.
func needsPrograms(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("starts a database of its own")
	}
	if _, err := localpg.FindPrograms(os.Getenv); err != nil && os.Getenv("CI") != "true" {
		t.Skip(err)
	}
}

// output collects what the program prints while it runs.
type output struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.String()
}

// await returns the first match of the pattern's group in the output.
func (o *output) await(t testing.TB, pattern string) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if m := re.FindStringSubmatch(o.String()); m != nil {
			return m[1]
		}
	}
	t.Fatalf("the program did not print %q in 30 s; it printed:\n%s", pattern, o)
	return ""
}

// Patterns of what the program prints.
const (
	addressPattern = `(http://127\.0\.0\.1:\d+)`
	firstPattern   = `(first coordinator)`
)

// serve runs the program in this process with the arguments until the test ends.
func serve(t testing.TB, args ...string) *output {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out := &output{}
	ended := make(chan error, 1)
	go func() { ended <- run(ctx, append(args, "--listen", "127.0.0.1:0"), noEnv, out, out) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the program ended with: %v", err)
		}
	})
	out.await(t, addressPattern)
	return out
}

func noEnv(string) string { return "" }

// command runs the program once and returns what it printed.
func command(t testing.TB, args ...string) (string, error) {
	t.Helper()
	var out output
	err := run(context.Background(), args, noEnv, &out, &out)
	return out.String(), err
}

// process is the program as a process of its own.
type process struct {
	cmd  *exec.Cmd
	out  *output
	base string // the address where it serves
}

func startProcess(t testing.TB, args ...string) process {
	t.Helper()
	p := process{cmd: exec.Command(os.Args[0], append(args, "--listen", "127.0.0.1:0")...), out: &output{}}
	p.cmd.Env = append(os.Environ(), asProgram+"=1")
	p.cmd.Stdout, p.cmd.Stderr = p.out, p.out
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = p.cmd.Process.Signal(syscall.SIGTERM) // it may have been killed
		_ = p.cmd.Wait()
	})
	p.base = p.out.await(t, addressPattern)
	return p
}

// kill ends the process without a word.
func (p process) kill(t testing.TB) {
	t.Helper()
	if err := p.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = p.cmd.Wait() // it was killed
}
