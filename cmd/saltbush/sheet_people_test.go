package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/account"
	"saltbush/internal/team"
)

const peopleHead = "Name,E-mail,Phone,Roles,Level,Hardest class,Endorsements,Status,Since,Reason,First aid: issuer,First aid: number,First aid: through,First aid: evidence\n"

func (p staffed) asksFirstAid(t *testing.T) {
	t.Helper()
	ctx := context.Background()
	if err := p.db.SaveCertificateKind(ctx, team.CertificateKind{Name: "First aid", Leader: true}); err != nil {
		t.Fatal(err)
	}
	kinds, err := p.db.CertificateKinds(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range kinds {
		if k.Name != "First aid" {
			if err := p.db.RemoveCertificateKind(ctx, k.Name); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// People come in with roles, standing and papers, each by an invitation of their own; what
// is saved says the same, and bringing it in again does nothing.
func TestPeopleAreBroughtInAndSaved(t *testing.T) {
	p := serveStaffed(t)
	p.asksFirstAid(t)
	c := p.signIn(t, "coordinator@example.org")
	file := peopleHead +
		"'=Wren O'Dell,Wren@Example.org,'+1 602 555 0144,\"leader, trainer\",leader,strenuous,\"rough ground, heat\",active,2026-10-01,checked out,Red Mesa School,'-7,2027-03-14,seen at training\n" +
		"Ash Moreno,leads@example.org,602 555 0100,coordinator,,,,,,,,,,\n" +
		"\"Pia\u00a0Lund\",pia@example.org,,,,,,,,,,,,\n"
	page, status := p.upload(t, c, "/people/import", []byte(file))
	text := page.Find("main").Text()
	for _, want := range []string{"2 people would be added", "Leader, trainer.", "Level leader up to strenuous, active since 1 Oct 2026.", "First aid through 14 Mar 2027.", "left as it is", "On file otherwise: Phone, Roles."} {
		if !strings.Contains(text, want) {
			t.Errorf("the preview does not say %q: %s", want, text)
		}
	}
	if n, _ := p.db.AccountStore().CountAccounts(context.Background()); status != http.StatusOK || n != 6 {
		t.Fatalf("status %d, %d accounts after a preview", status, n)
	}
	path, form := confirmation(t, page)
	form.Set("mail", "yes")
	res, err := c.PostForm(p.base+path, form)
	if err != nil {
		t.Fatal(err)
	}
	done := document(t, res)
	if links := done.Find(".Copy").Length(); res.StatusCode != http.StatusCreated || links != 2 {
		t.Fatalf("status %d, %d links: %s", res.StatusCode, links, done.Find("main").Text())
	}
	if got := post(t, c, p.base+path, form); got != http.StatusSeeOther {
		t.Errorf("a second time: status %d", got)
	}
	p.judgePeople(t, c, done)
}

func (p staffed) judgePeople(t *testing.T, c *http.Client, done *goquery.Document) {
	t.Helper()
	ctx := context.Background()
	a, err := p.db.AccountStore().AccountByEmail(ctx, "wren@example.org")
	if err != nil || a.Name != "=Wren O'Dell" || a.PasswordHash != "" || !a.Active || !a.Has(account.Leader) || !a.Has(account.Trainer) {
		t.Errorf("%+v, %v", a, err)
	}
	if ash, _ := p.db.AccountStore().AccountByEmail(ctx, "leads@example.org"); ash.Has(account.Coordinator) || ash.Phone != "" {
		t.Errorf("an account that was here is changed: %+v", ash)
	}
	mails, _ := p.db.Outbox().Recent(ctx, 10)
	if len(mails) != 2 || !strings.Contains(mails[0].Text, "/invited/") {
		t.Errorf("%d letters, want two with a link", len(mails))
	}
	link := strings.TrimSpace(done.Find(".Copy").First().Text())
	if res, err := client(t).Get(link); err != nil || res.StatusCode != http.StatusOK {
		t.Errorf("the invitation does not open: %v", err)
	}
	rows := p.savedTable(t, c, "/people.csv")
	want := []string{"'=Wren O'Dell", "wren@example.org", "'+1 602 555 0144", "leader, trainer", "invited", "leader", "strenuous", "rough ground, heat", "active", "2026-10-01", "checked out", "Red Mesa School", "'-7", "2027-03-14", "seen at training"}
	found := false
	for _, row := range rows {
		if row[1] == want[1] {
			found = true
			if diff := cmp.Diff(want, row); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		}
	}
	if !found || len(rows) != 9 {
		t.Errorf("%d rows, Wren among them %v", len(rows), found)
	}
}

// What one house saves another brings in, and saves the same.
func TestSavedPeopleComeBack(t *testing.T) {
	one, two := serveStaffed(t), serveStaffed(t)
	var tables [2][][]string
	file := []byte(peopleHead + "Wren O'Dell,wren@example.org,'+1 602 555 0144,\"leader, on-call\",sweep,moderate,,provisional,2026-10-01,new,Red Mesa School,=7,,\"seen, twice\nat training\"\nPia Lund,pia@example.org,,,,,,,,,,,,\n")
	for i, p := range []staffed{one, two} {
		p.asksFirstAid(t)
		c := p.signIn(t, "coordinator@example.org")
		page, _ := p.upload(t, c, "/people/import", file)
		path, form := confirmation(t, page)
		post(t, c, p.base+path, form)
		tables[i] = p.savedTable(t, c, "/people.csv")
		var b bytes.Buffer
		_ = csv.NewWriter(&b).WriteAll(tables[i])
		file = b.Bytes()
	}
	if diff := cmp.Diff(tables[0], tables[1]); diff != "" || len(tables[0]) != 9 {
		t.Errorf("%d rows (-first +second)\n%s", len(tables[0]), diff)
	}
}

func TestPeopleAreRefusedByLineAndColumn(t *testing.T) {
	p := serveStaffed(t)
	p.asksFirstAid(t)
	c := p.signIn(t, "coordinator@example.org")
	good := "Wren O'Dell,wren@example.org,,leader,,,,,,,,,,\n"
	for _, tt := range []struct{ name, line, want string }{
		{"no address", "Jo Marsh,jo,,,,,,,,,,,,\n", "Column 2 (E-mail): Give an address"},
		{"the address of another line", "Jo Marsh,WREN@example.org,,,,,,,,,,,,\n", "Column 2 (E-mail): Line 2 has this address"},
		{"no name", ",jo@example.org,,,,,,,,,,,,\n", "Column 1 (Name): Write a name"},
		{"no such role", "Jo Marsh,jo@example.org,,\"leader, king\",,,,,,,,,,\n", "Column 4 (Roles): Choose from this list"},
		{"no such level", "Jo Marsh,jo@example.org,,,chief,moderate,,active,2026-10-01,x,,,,\n", "Column 5 (Level): Choose a level"},
		{"half a standing", "Jo Marsh,jo@example.org,,,leader,moderate,,active,,x,,,,\n", "Column 9 (Since): Give the day from which it holds"},
		{"a day as spreadsheets make it", "Jo Marsh,jo@example.org,,,leader,moderate,,active,10/1/2026,x,,,,\n", "Column 9 (Since): Give a day, such as 2027-03-14"},
		{"half a paper", "Jo Marsh,jo@example.org,,,,,,,,,Red Mesa School,,,\n", "Column 14 (First aid: evidence): Say where the paper was seen"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			page, status := p.upload(t, c, "/people/import", []byte(peopleHead+good+tt.line))
			if text := page.Find("main").Text(); status != http.StatusUnprocessableEntity || !strings.Contains(text, tt.want) {
				t.Errorf("status %d, the page does not say %q: %s", status, tt.want, text)
			}
		})
	}
	if got := post(t, c, p.base+"/people/import/confirm", url.Values{"table": {"TmFtZQ"}, "seal": {"1.x"}}); got != http.StatusUnprocessableEntity {
		t.Errorf("a seal of one's own making: status %d", got)
	}
	if n, _ := p.db.AccountStore().CountAccounts(context.Background()); n != 6 {
		t.Errorf("%d accounts, want 6", n)
	}
}
