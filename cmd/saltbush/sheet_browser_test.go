package main

import (
	"path/filepath"
	"testing"

	"saltbush/internal/localpg/pgtest"
)

// The pages by which tables come in fit the screen and axe-core's rules.
func TestTablePagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"table-file", "table-file-wrong", "table-lines", "table-refused", "table-brought"} {
				v.openState(name)
			}
		})
	}
}
