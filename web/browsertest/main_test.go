package browsertest

import (
	"flag"
	"net/http/httptest"
	"os"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
	"saltbush/web/storybook"
)

// atOnce is how many tests run at once where nothing else is asked for. They wait for pages and
// clocks most of the time.
const atOnce = 4

func TestMain(m *testing.M) {
	flag.Parse()
	if n := flag.Lookup("test.parallel"); n.Value.String() == n.DefValue {
		_ = n.Value.Set(strconv.Itoa(max(atOnce, runtime.GOMAXPROCS(0))))
	}
	os.Exit(chromium.Main(m))
}

// states serves every page state from fixed data, for all tests of the package.
var states = sync.OnceValue(func() *httptest.Server { return httptest.NewServer(storybook.Handler()) })

// onScreens runs a test on each screen at once, in tabs on one site.
func onScreens(t *testing.T, base string, test func(*testing.T, *chromium.Tab)) {
	t.Helper()
	for _, s := range chromium.Screens() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			test(t, chromium.Open(t, base, s))
		})
	}
}

// onSite is onScreens with a site of each test's own.
func onSite(t *testing.T, f sitetest.Fixture, test func(*testing.T, *sitetest.Site, *chromium.Tab)) {
	t.Helper()
	for _, s := range chromium.Screens() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			site := sitetest.Pages(t, f, time.Now)
			test(t, site, chromium.Open(t, site.URL, s))
		})
	}
}

// submit is the button of the form on a page with one.
const submit = "main form button[type=submit]"

// signOut is the button beside the name of who is signed in.
const signOut = ".Cover-viewer form button"
