package sitetest

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
)

// Page is what a site answered.
type Page struct {
	t      testing.TB
	Asked  string // as "GET /board"
	Status int
	Header http.Header
	Body   string
}

// Want ends the test unless the page came with that status.
func (p Page) Want(status int) Page {
	p.t.Helper()
	if p.Status != status {
		p.t.Fatalf("%s: status %d to %q, want %d\n%s", p.Asked, p.Status, p.Location(), status, p.Text("main"))
	}
	return p
}

// Location is where the page leads.
func (p Page) Location() string { return p.Header.Get("Location") }

// Document is the page for queries.
func (p Page) Document() *goquery.Document {
	p.t.Helper()
	d, err := goquery.NewDocumentFromReader(strings.NewReader(p.Body))
	if err != nil {
		p.t.Fatalf("%s: %v", p.Asked, err)
	}
	return d
}

// Find returns the elements that the selector matches.
func (p Page) Find(selector string) *goquery.Selection {
	p.t.Helper()
	return p.Document().Find(selector)
}

// Text is what the elements say, with one space between words.
func (p Page) Text(selector string) string {
	p.t.Helper()
	return strings.Join(strings.Fields(p.Find(selector).Text()), " ")
}

// Attr is an attribute of the first such element, "" where there is none.
func (p Page) Attr(selector, name string) string {
	p.t.Helper()
	return p.Find(selector).First().AttrOr(name, "")
}

// Shows fails the test for each text that the page does not have, neither as it reads nor
// as it is written.
func (p Page) Shows(texts ...string) Page {
	p.t.Helper()
	for _, text := range texts {
		if !p.Has(text) {
			p.t.Errorf("%s does not say %q:\n%s", p.Asked, text, p.Text("body"))
		}
	}
	return p
}

// Hides fails the test for each text that the page has.
func (p Page) Hides(texts ...string) Page {
	p.t.Helper()
	for _, text := range texts {
		if p.Has(text) {
			p.t.Errorf("%s says %q:\n%s", p.Asked, text, p.Text("body"))
		}
	}
	return p
}

// Has reports whether the page reads so or is written so.
func (p Page) Has(text string) bool {
	p.t.Helper()
	return strings.Contains(p.Body, text) || strings.Contains(p.Text("body"), text)
}

// Form reads a form as it would be sent untouched: where it goes and what it holds. Of
// buttons nothing is sent.
func (p Page) Form(selector string) (action string, values url.Values) {
	p.t.Helper()
	form := p.Find(selector).First()
	if form.Length() == 0 {
		p.t.Fatalf("%s has no form %s:\n%s", p.Asked, selector, p.Text("main"))
	}
	values = url.Values{}
	form.Find("input[name], textarea[name]").Each(func(_ int, e *goquery.Selection) {
		kind, _ := e.Attr("type")
		_, checked := e.Attr("checked")
		if (kind == "checkbox" || kind == "radio") && !checked || kind == "submit" || kind == "file" {
			return
		}
		value := e.AttrOr("value", "")
		if goquery.NodeName(e) == "textarea" {
			value = e.Text()
		}
		values.Add(e.AttrOr("name", ""), value)
	})
	form.Find("select[name]").Each(func(_ int, e *goquery.Selection) {
		chosen := e.Find("option[selected]")
		if chosen.Length() == 0 {
			chosen = e.Find("option").First()
		}
		values.Add(e.AttrOr("name", ""), chosen.AttrOr("value", chosen.Text()))
	})
	return form.AttrOr("action", ""), values
}
