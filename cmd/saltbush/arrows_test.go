package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltbush/internal/site/sitetest"
)

// arrows says which of the project's packages each package may import. It is the
// architecture: a new arrow is a decision, written here first.
func arrows() map[string][]string {
	bottom := []string{"internal/unit", "internal/text", "internal/ref", "internal/format", "internal/caution"}
	ground := with(bottom, "internal/party", "internal/phone", "internal/track", "internal/sun", "internal/heat",
		"internal/walk",
		"internal/supply")
	planning := with(ground, "internal/fault", "internal/rules")
	plans := with(planning, "internal/plan", "internal/privacy")
	nouns := with(plans, "internal/trail", "internal/team", "internal/signup") // each may use those before it
	hikes := with(nouns, "internal/message", "internal/hike")
	domain := with(hikes, "internal/account", "internal/calendar", "internal/card", "internal/ride",
		"internal/staffing",
		"internal/retention", "internal/roll", "internal/watch")
	view := []string{"internal/format", "internal/unit", "internal/caution", "internal/plan", "internal/rules",
		"assets", "web/ui", "web/chart"}
	kit := with(domain, "internal/paths", "internal/sheet", "assets", "web/ui", "web/chart")
	area := with(kit, "internal/notify", "web/kit") // its own view, and no other area
	assembly := with(domain, "internal/notify", "internal/postgres", "internal/localpg", "web", "web/accounts")
	all := map[string][]string{
		"internal/unit":    nil,
		"internal/text":    nil,
		"internal/ref":     nil,
		"internal/format":  {"internal/unit"},
		"internal/caution": nil,

		"internal/party":  {"internal/unit"},                   // it also runs on the phone
		"internal/phone":  {"internal/unit", "internal/party"}, // what the phone shows of it
		"cmd/phone":       {"internal/phone"},
		"cmd/packphone":   nil,
		"internal/track":  {"internal/unit", "internal/text"},
		"internal/sun":    {"internal/unit"},
		"internal/heat":   {"internal/unit"},
		"internal/walk":   {"internal/unit"},
		"internal/supply": {"internal/unit"},
		"internal/rules":  {"internal/unit", "internal/heat", "internal/fault"},
		"internal/plan":   planning,

		"internal/fault":    bottom,
		"internal/privacy":  nil,
		"internal/trail":    plans,
		"internal/team":     with(plans, "internal/trail"),
		"internal/signup":   with(plans, "internal/trail", "internal/team"),
		"internal/message":  bottom,
		"internal/calendar": bottom,
		"internal/account":  with(bottom, "internal/fault"),
		"internal/sheet":    bottom,
		"internal/hike":     with(nouns, "internal/message"),

		"internal/card":      with(hikes, "internal/account"),
		"internal/ride":      hikes,
		"internal/staffing":  hikes,
		"internal/retention": hikes,
		"internal/roll":      hikes,
		"internal/watch":     with(hikes, "internal/roll"),
		"internal/paths":     with(bottom, "internal/account"),
		"internal/notify":    with(domain, "internal/paths"),
		"internal/sample":    domain,

		"internal/localpg":        nil,
		"internal/localpg/pgtest": {"internal/localpg", "internal/postgres", "migrations"},
		"internal/postgres":       with(domain, "migrations"),
		"migrations":              nil,
		"assets":                  nil,

		"web/ui":          {"internal/format", "internal/caution", "assets"},
		"web/chart":       with(planning, "internal/plan", "web/ui"),
		"web/kit":         kit,
		"web":             with(area, areas()...),
		"web/storybook":   with(kit, "web/kit"), // and every area with its view
		"web/browsertest": nil,                  // tests only
		"cmd/storybook":   {"web/storybook"},
		"internal/site":   assembly, // where web and postgres meet, and nowhere else
		"cmd/saltbush":    with(assembly, "internal/site", "internal/sample", "web/chart"),

		// Only tests import these.
		"internal/retention/plant": with(hikes, "internal/retention"),
		"internal/party/partytest": {"internal/party"},
		"internal/site/sitetest": with(assembly, "internal/localpg/pgtest", "internal/retention/plant",
			"internal/site"),
		"internal/site/sitetest/chromium": {"internal/site/sitetest"},
	}
	for _, name := range areas() {
		all[name] = with(area, name+"/view")
		all[name+"/view"] = view
		all["web/storybook"] = append(all["web/storybook"], name, name+"/view")
	}
	return all
}

// areas are the parts of the site, each with its handlers and, in a folder of its own, its pages.
func areas() []string {
	return []string{
		"web/public", "web/trails", "web/signups", "web/hikes", "web/team", "web/roll", "web/watch", "web/accounts",
		"web/settings",
	}
}

// with returns a longer list and leaves the given one as it is.
func with(list []string, more ...string) []string { return slices.Concat(list, more) }

func TestArrows(t *testing.T) {
	allowed := arrows()
	forEachGoFile(t, func(pkg, file string, imports []string) {
		may, known := allowed[pkg]
		if !known {
			t.Errorf("%s: package %s has no arrows; add it to arrows()", file, pkg)
			return
		}
		for _, path := range imports {
			own, is := strings.CutPrefix(path, "saltbush/")
			if is && !slices.Contains(may, own) {
				t.Errorf("%s: %s may not import %s", file, pkg, own)
			}
		}
	})
}

// The domain knows no transport, no SQL and no configuration; pages know no request and no store.
func TestArrowsOfTheDomainToNoTransport(t *testing.T) {
	outer := with(areas(), "internal/postgres", "internal/localpg", "internal/localpg/pgtest", "internal/site",
		"internal/site/sitetest", "internal/site/sitetest/chromium", "web", "web/kit", "web/storybook", "assets",
		"migrations",
		"cmd/saltbush", "cmd/storybook", "cmd/packphone")
	banned := []string{"net/http", "github.com/jackc/pgx", "github.com/a-h/templ", "github.com/go-chi",
		"github.com/alecthomas/kong", "os"}
	forEachGoFile(t, func(pkg, file string, imports []string) {
		if slices.Contains(outer, pkg) {
			return
		}
		pages := strings.HasPrefix(pkg, "web/")
		for _, path := range imports {
			for _, b := range banned {
				if pages && strings.Contains(b, "templ") {
					continue
				}
				if path == b || strings.HasPrefix(path, b+"/") {
					t.Errorf("%s imports %s", file, path)
				}
			}
		}
	})
}

// The phone runs party too, so it imports only the standard library and unit.
func TestArrowsOfPartyToTheStandardLibrary(t *testing.T) {
	forEachGoFile(t, func(pkg, file string, imports []string) {
		if pkg != "internal/party" {
			return
		}
		for _, path := range imports {
			first, _, _ := strings.Cut(path, "/")
			standard := first != "saltbush" && !strings.Contains(first, ".")
			if !standard && path != "saltbush/internal/unit" {
				t.Errorf("%s imports %s", file, path)
			}
		}
	})
}

// forEachGoFile visits the imports of every file that is not a test.
func forEachGoFile(t *testing.T, visit func(pkg, file string, imports []string)) {
	t.Helper()
	top := sitetest.Root(t)
	seen := 0
	err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		var imports []string
		for _, i := range f.Imports {
			p, _ := strconv.Unquote(i.Path.Value)
			imports = append(imports, p)
		}
		file, _ := filepath.Rel(top, path)
		visit(filepath.ToSlash(filepath.Dir(file)), file, imports)
		seen++
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 100 {
		t.Fatalf("only %d files seen", seen)
	}
}
