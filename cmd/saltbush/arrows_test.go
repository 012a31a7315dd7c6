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
)

// arrows says which of the project's packages each package may import. It is the
// architecture: a new arrow is a decision, written here first.
func arrows() map[string][]string {
	units := []string{"internal/unit"}
	typed := with(units, "internal/text") // takes in what people type
	planning := with(typed, "internal/track", "internal/sun", "internal/heat", "internal/walk", "internal/supply")
	domain := with(planning, "internal/plan", "internal/hike", "internal/roll", "internal/watch", "internal/account",
		"internal/message", "internal/calendar", "internal/card")
	view := with(domain, "internal/format", "assets")
	kit := with(view, "internal/paths", "internal/sheet", "web/view")
	area := with(kit, "internal/notify", "web/kit") // and no other area
	// Where web and postgres meet, and nowhere else.
	assembly := with(domain, "internal/format", "internal/postgres", "internal/localpg", "web", "web/view", "web/accounts")
	all := map[string][]string{
		"internal/unit":           nil,
		"internal/text":           nil,
		"internal/track":          typed,
		"internal/sun":            units,
		"internal/heat":           units,
		"internal/walk":           units,
		"internal/supply":         units,
		"internal/plan":           planning,
		"internal/hike":           with(planning, "internal/plan", "internal/format", "internal/message"),
		"internal/roll":           with(planning, "internal/plan", "internal/hike"),
		"internal/watch":          with(planning, "internal/plan", "internal/hike", "internal/roll"),
		"internal/account":        typed,
		"internal/card":           with(planning, "internal/plan", "internal/hike", "internal/account"),
		"internal/message":        typed,
		"internal/calendar":       units,
		"internal/format":         units,
		"internal/paths":          with(planning, "internal/plan", "internal/hike", "internal/account"),
		"internal/notify":         with(domain, "internal/format", "internal/paths"),
		"internal/sheet":          {"internal/text"},
		"internal/postgres":       with(domain, "migrations"),
		"internal/localpg":        nil,
		"internal/localpg/pgtest": {"internal/localpg"},
		"internal/sample":         domain,
		"migrations":              nil,
		"assets":                  nil,
		"web/view":                view,
		"web/kit":                 kit,
		"web":                     with(area, areas()...),
		"internal/site":           assembly,
		"cmd/saltbush":            with(assembly, "internal/site", "internal/sample"),
		// Only tests import these.
		"internal/site/sitetest":          with(assembly, "internal/localpg/pgtest", "internal/site"),
		"internal/site/sitetest/chromium": {"internal/site/sitetest"},
	}
	for _, name := range areas() {
		all[name] = area
	}
	return all
}

// areas are the parts of the site, each with its handlers.
func areas() []string {
	return []string{
		"web/public", "web/trails", "web/signups", "web/hikes", "web/team", "web/roll", "web/watch", "web/accounts",
		"web/settings",
	}
}

// with returns a longer list and leaves the given one as it is.
func with(list []string, more ...string) []string { return slices.Concat(list, more) }

func TestImportArrows(t *testing.T) {
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

// The domain knows no transport, no SQL and no configuration.
func TestDomainKnowsNoTransport(t *testing.T) {
	outer := with(areas(), "internal/postgres", "internal/localpg", "internal/localpg/pgtest", "internal/site",
		"internal/site/sitetest", "internal/site/sitetest/chromium", "web", "web/kit", "web/view", "assets", "migrations",
		"cmd/saltbush")
	banned := []string{"net/http", "github.com/jackc/pgx", "github.com/a-h/templ", "github.com/go-chi", "github.com/alecthomas/kong", "os"}
	forEachGoFile(t, func(pkg, file string, imports []string) {
		if slices.Contains(outer, pkg) {
			return
		}
		for _, path := range imports {
			for _, b := range banned {
				if path == b || strings.HasPrefix(path, b+"/") {
					t.Errorf("%s imports %s", file, path)
				}
			}
		}
	})
}

// forEachGoFile visits the imports of every file that is not a test.
func forEachGoFile(t *testing.T, visit func(pkg, file string, imports []string)) {
	t.Helper()
	top := root(t)
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
