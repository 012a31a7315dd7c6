package main

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

func TestLetIn(t *testing.T) {
	p := serveStaffed(t)
	const who = "coordinator@example.org"
	secondStep(t, p, p.signIn(t, who))
	letIn := func(email string) (string, error) {
		var said bytes.Buffer
		err := run(context.Background(), []string{"let-in", email, "--database-url", p.db.Pool().Config().ConnString(), "--base-url", p.base}, func(string) string { return "" }, &said, &said)
		return said.String(), err
	}
	if says, err := letIn("nobody@example.org"); err == nil || strings.Contains(says, "new-password") {
		t.Errorf("a stranger is let in: %s", says)
	}
	says, err := letIn("Coordinator@example.org")
	if err != nil {
		t.Fatal(err)
	}
	link := regexp.MustCompile(`http\S+/new-password/[a-z2-7]{32}`).FindString(says)
	c := client(t)
	if status, to, _ := sends(t, c, link, url.Values{"password": {newPassword}}); status != http.StatusSeeOther || to != "/desk" || !p.in(t, c) {
		t.Errorf("link %q: status %d to %q", link, status, to)
	}
}
