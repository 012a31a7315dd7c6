package sitetest

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"strings"
)

// Table reads the page as a saved CSV file, with the standard library's reader.
func (p Page) Table() [][]string {
	p.t.Helper()
	p.Want(http.StatusOK)
	const kind, attached = "text/csv; charset=utf-8", "attachment; filename="
	if got := p.Header.Get("Content-Type"); got != kind {
		p.t.Errorf("%s: type %q, want %q", p.Asked, got, kind)
	}
	if got := p.Header.Get("Content-Disposition"); !strings.HasPrefix(got, attached) {
		p.t.Errorf("%s: disposition %q, want %s...", p.Asked, got, attached)
	}
	text, marked := strings.CutPrefix(p.Body, "\ufeff")
	if !marked {
		p.t.Errorf("%s: no byte order mark before the text", p.Asked)
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		p.t.Fatalf("%s: %v", p.Asked, err)
	}
	return rows
}

// Confirmation is the form by which the preview of an import is confirmed.
func (p Page) Confirmation() (action string, form url.Values) {
	p.t.Helper()
	return p.Form("form:has(input[name=table])")
}
