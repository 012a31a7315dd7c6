package chromium

import (
	"context"
	"os"
	"os/exec"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
)

// one is the browser of this test binary. It is a variable of the package because tests
// share it, and there is nobody above them to hand it down.
var one struct {
	sync.Mutex
	ctx  context.Context // of its first tab, which stays empty; nil before the start
	stop func()
}

// Main runs the tests of a package, and ends the browser and the database server that they
// shared.
func Main(m *testing.M) int {
	code := sitetest.Main(m)
	one.Lock()
	defer one.Unlock()
	if one.stop != nil {
		one.stop()
	}
	return code
}

// Needs skips a test with -short and without Chromium; where CI=true the test fails for want
// of one. Call it before a site is set up for nothing.
func Needs(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests take long")
	}
	switch missing := find() == ""; {
	case missing && os.Getenv("CI") == "true":
		t.Fatal("no Chromium, and CI needs one")
	case missing:
		t.Skip("no Chromium on this machine")
	}
}

// shared starts the browser with the first call.
func shared(t testing.TB) context.Context {
	t.Helper()
	Needs(t)
	one.Lock()
	defer one.Unlock()
	if one.ctx == nil {
		ctx, stop, err := start(find())
		if err != nil {
			t.Fatalf("start Chromium: %v", err)
		}
		one.ctx, one.stop = ctx, stop
	}
	return one.ctx
}

func find() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	return ""
}

func start(path string) (ctx context.Context, stop func(), err error) {
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true),
	)
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, closeTab := chromedp.NewContext(alloc)
	stop = func() {
		closeTab()
		stopAlloc()
	}
	if err := chromedp.Do(ctx); err != nil { // starts it
		stop()
		return nil, nil, err
	}
	return ctx, stop, nil
}
