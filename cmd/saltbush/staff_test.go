package main

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

// post sends a form and returns where it led.
func (p program) post(t *testing.T, c *http.Client, path string, form url.Values) (status int, page string) {
	t.Helper()
	res, err := c.PostForm(p.base+path, form)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(b)
}

// asked finds the link in the mail to somebody.
func (p staffed) asked(t *testing.T, to string) string {
	t.Helper()
	mails, err := p.db.Outbox().Recent(context.Background(), 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range mails {
		if found := regexp.MustCompile(`/asked/\S+`).FindString(m.Text); m.To == to && found != "" {
			return found
		}
	}
	t.Fatalf("no mail asks %s", to)
	return ""
}

func (p staffed) hike(t *testing.T) hike.Hike {
	t.Helper()
	h, err := p.db.Hike(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// Accounts: 1 coordinates, 2 leads the hike, 3 is another leader.
func TestAskedByMailAnswersByLink(t *testing.T) {
	p := serveStaffed(t)
	boss := p.signIn(t, "coordinator@example.org")
	if status, _ := p.post(t, boss, "/hikes/1/staffing/ask", url.Values{"account": {"3"}, "role": {"sweep"}}); status != http.StatusSeeOther {
		t.Fatalf("ask: status %d", status)
	}
	if status, page := p.post(t, boss, "/hikes/1/decide", url.Values{"reason": {"short and early"}}); status != http.StatusConflict || !strings.Contains(page, "has not accepted yet") {
		t.Errorf("it goes with staff that has not accepted: status %d", status)
	}
	link := p.asked(t, "other@example.org")
	stranger := client(t) // the link alone
	if status, page := get(t, stranger, p.base+link); status != http.StatusOK || !strings.Contains(page, "nobody counts on you") {
		t.Errorf("the link: status %d", status)
	}
	if s, _ := p.hike(t).StaffOf(team.Sweep); s.Accepted() {
		t.Error("looking at the link accepts")
	}
	if status, page := p.post(t, stranger, link, url.Values{"answer": {"no"}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Say why in a few words") {
		t.Errorf("a no without a reason: status %d", status)
	}
	p.post(t, stranger, link, url.Values{"answer": {"yes"}})
	if s, _ := p.hike(t).StaffOf(team.Sweep); !s.Accepted() {
		t.Errorf("after yes by link: %+v", s)
	}
	p.post(t, stranger, link, url.Values{"answer": {"no"}, "because": {"a cold"}})
	if _, on := p.hike(t).StaffOf(team.Sweep); on {
		t.Error("whoever said no is still on the staff")
	}
	if to := p.toldOf(t, "a cold"); !slices.Equal(to, []string{"coordinator@example.org", "leads@example.org"}) {
		t.Errorf("of the no %v are told, want the coordinator and the leader", to)
	}
	if _, page := get(t, boss, p.base+"/hikes/1/staffing"); !strings.Contains(page, "a cold") {
		t.Error("the staffing page does not show why")
	}
}

// toldOf lists who was written to with such words, by address.
func (p staffed) toldOf(t *testing.T, words string) []string {
	t.Helper()
	mails, err := p.db.Outbox().Recent(context.Background(), 100)
	if err != nil {
		t.Fatal(err)
	}
	var to []string
	for _, m := range mails {
		if strings.Contains(m.Text, words) {
			to = append(to, m.To)
		}
	}
	slices.Sort(to)
	return to
}

// The reason of on-call is kept and shown to those who ask, until somebody else is named.
func TestOnCallSaysNoWithAReason(t *testing.T) {
	p := serveStaffed(t)
	ctx := context.Background()
	name := func(c team.Contact) {
		if err := p.db.ChangeHike(ctx, 1, func(h *hike.Hike) error { h.OnCall = c; return nil }); err != nil {
			t.Fatal(err)
		}
	}
	name(team.Contact{Name: "Petra Halloway", Phone: "602-555-0113", Email: "oncall@example.org"})
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.db.AccountStore().AddLink(ctx, account.Link{Hash: hash, Target: account.AskedTarget(1, hike.OnCall), Expires: p.hike(t).Start}); err != nil {
		t.Fatal(err)
	}
	link := "/asked/" + secret.Reveal()
	if status, _ := p.post(t, client(t), link, url.Values{"answer": {"no"}}); status != http.StatusUnprocessableEntity || p.hike(t).OnCall.Name == "" {
		t.Errorf("a no without a reason: status %d", status)
	}
	if status, _ := p.post(t, client(t), link, url.Values{"answer": {"no"}, "because": {"night shift before"}}); status != http.StatusSeeOther || p.hike(t).OnCall.Name != "" {
		t.Fatalf("a no: status %d, on call %+v", status, p.hike(t).OnCall)
	}
	if to := p.toldOf(t, "night shift before"); !slices.Equal(to, []string{"coordinator@example.org", "leads@example.org"}) {
		t.Errorf("of the no %v are told, want the coordinator and the leader", to)
	}
	leader := p.signIn(t, "leads@example.org")
	for _, path := range []string{"/hikes/1/manage", "/hikes/1/staffing"} {
		if _, page := get(t, leader, p.base+path); !strings.Contains(page, "Petra Halloway") || !strings.Contains(page, "night shift before") {
			t.Errorf("%s does not say who cannot be on call, and why", path)
		}
	}
	name(team.Contact{Name: "Teo Marsh", Phone: "602-555-0114"})
	if _, page := get(t, leader, p.base+"/hikes/1/manage"); strings.Contains(page, "night shift before") {
		t.Error("the page of the hike still asks for an on-call that is named")
	}
}

func TestAnotherCannotAnswerForSomebody(t *testing.T) {
	p := serveStaffed(t)
	person := p.hike(t).Staff[0].Person
	other := p.signIn(t, "other@example.org")
	if status, _ := p.post(t, other, "/mine/answer", url.Values{"hike": {"1"}, "person": {person}, "answer": {"yes"}}); status != http.StatusConflict {
		t.Errorf("another answers: status %d", status)
	}
	own := p.signIn(t, "leads@example.org")
	if status, _ := p.post(t, own, "/mine/answer", url.Values{"hike": {"1"}, "person": {person}, "answer": {"yes"}}); status != http.StatusSeeOther || !p.hike(t).Staff[0].Accepted() {
		t.Errorf("one's own answer: status %d, %+v", status, p.hike(t).Staff[0])
	}
}

// Case 5 of the trade, through the pages: the paper ends the day before the hike.
func TestEndedPaperBlocksPosting(t *testing.T) {
	p := serveStaffed(t)
	ctx := context.Background()
	h := p.hike(t)
	day := unit.DateOf(h.Start)
	draft := func(h *hike.Hike) error {
		h.State, h.Staff[0].Answer = hike.Draft, team.AnswerAccepted
		return nil
	}
	if err := p.db.ChangeHike(ctx, 1, draft); err != nil {
		t.Fatal(err)
	}
	boss := p.signIn(t, "coordinator@example.org")
	for _, form := range []url.Values{
		{"certificate": {"wilderness first aid"}, "issuer": {"Sill Basin Rescue School"}, "through": {day.Add(-1).String()}, "evidence": {"copy on file"}},
		{"certificate": {"CPR"}, "issuer": {"Sill Basin Rescue School"}, "through": {day.String()}, "evidence": {"copy on file"}},
		{"certificate": {"leader agreement"}, "issuer": {"the house"}, "evidence": {"signed"}},
	} {
		if status, _ := p.post(t, boss, "/staff/people/2/certificates", form); status != http.StatusSeeOther {
			t.Fatalf("add %v: status %d", form["certificate"], status)
		}
	}
	p.post(t, boss, "/staff/people/2/approvals", url.Values{"from": {day.Add(-300).String()}, "level": {"leader"}, "max_class": {"strenuous"}, "status": {"active"}, "reason": {"four hikes observed"}})
	if status, page := p.post(t, boss, "/hikes/1/post", nil); status != http.StatusConflict || !strings.Contains(page, "wilderness first aid through "+day.Add(-1).Words()+" only") {
		t.Errorf("posting with an ended paper: status %d", status)
	}
	p.post(t, boss, "/staff/people/2/certificates", url.Values{"certificate": {"wilderness first aid"}, "issuer": {"Sill Basin Rescue School"}, "through": {day.String()}, "evidence": {"copy on file"}})
	if status, _ := p.post(t, boss, "/hikes/1/post", nil); status != http.StatusSeeOther {
		t.Errorf("posting with a paper through the day: status %d", status)
	}
}

func TestStaffPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		v := browser(t, p.base, s)
		for _, name := range []string{"staff", "staff-rules-wrong", "records", "record", "record-wrong", "record-none", "staffing", "mine", "asked"} {
			v.openState(name)
		}
		v.signInAs("odalys.brandtner@example.org", "dry-wash-lantern")
		v.open("/staff")
		v.sees("clash")
		v.sees("sweep not accepted")
		v.open("/staff/people")
		v.sees("Hollis Umana-Drake")
		v.open("/staff/rules")
		v.sees("estimated from the coordinates")
	}
}

func (v *visitor) signInAs(email, password string) {
	v.t.Helper()
	v.open("/sign-in")
	v.fill("main form", map[string]string{"email": email, "password": password})
	v.press("main form button[type=submit]")
}
