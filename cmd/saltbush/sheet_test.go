package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/signup"
)

// upload sends a file and returns the page that answers.
func (p program) upload(t *testing.T, c *http.Client, path string, data []byte) (*goquery.Document, int) {
	t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("file", "people.csv")
	if err != nil {
		t.Fatal(err)
	}
	_, _ = part.Write(data)
	form.Close()
	res, err := c.Post(p.base+path, form.FormDataContentType(), &b)
	if err != nil {
		t.Fatal(err)
	}
	return document(t, res), res.StatusCode
}

func document(t *testing.T, res *http.Response) *goquery.Document {
	t.Helper()
	defer res.Body.Close()
	page, err := goquery.NewDocumentFromReader(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// confirmation is what the form of a preview sends.
func confirmation(t *testing.T, page *goquery.Document) (path string, form url.Values) {
	t.Helper()
	path, _ = page.Find("form:has(input[name=table])").Attr("action")
	form = url.Values{}
	for _, name := range []string{"table", "seal"} {
		value, _ := page.Find("input[name=" + name + "]").Attr("value")
		form.Set(name, value)
	}
	if path == "" || form.Get("table") == "" {
		t.Fatalf("nothing to confirm: %s", page.Find("main").Text())
	}
	return path, form
}

// savedTable fetches a table and reads it with the standard library's reader.
func (p program) savedTable(t *testing.T, c *http.Client, path string) [][]string {
	t.Helper()
	res, err := c.Get(p.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	data, _ := io.ReadAll(res.Body)
	if kind := res.Header.Get("Content-Type"); res.StatusCode != http.StatusOK || kind != "text/csv; charset=utf-8" || !strings.HasPrefix(res.Header.Get("Content-Disposition"), "attachment; filename=") {
		t.Fatalf("%s: status %d, %q, %q", path, res.StatusCode, kind, res.Header.Get("Content-Disposition"))
	}
	if !bytes.HasPrefix(data, []byte("\ufeff")) {
		t.Error("no mark before the text")
	}
	rows, err := csv.NewReader(bytes.NewReader(data[3:])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

const signUpHead = "Name;E-mail;Mobile;Age;Contact;Contact phone;Longest walk;Climb;Hours;Weeks ago;Walk in words;Hot days;Hot before;Lives here;Ill from heat;Health to talk over;Shoes;Water litres;To do for them;Plate;Seats offered;Accepts the risks;Guardian;Guardian phone;Adult in charge;Guardian agrees\r\n"

// signUpLine is a person with whom there is nothing to talk over.
func signUpLine(name, more string) string {
	return fmt.Sprintf("%s;%s@example.org;602 555 01%02d;adult;Someone Home;480 555 0199;80;4000;3;2;fine;3;yes;yes;no;no;boots;4,5;hears badly;=A1;2;yes;%s\r\n",
		name, strings.ReplaceAll(strings.ToLower(strings.Fields(name)[0]), "ë", "e"), len([]rune(name)), more)
}

func (p staffed) signUps(t *testing.T) []signup.SignUp {
	t.Helper()
	list, err := p.db.SignUps(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// A list goes in over its preview, all of it, marked with who brought it; and comes out again.
func TestSignUpsAreBroughtInAndSaved(t *testing.T) {
	p := serveStaffed(t)
	leader, coordinator := p.signIn(t, "leads@example.org"), p.signIn(t, "coordinator@example.org")
	file := []byte(signUpHead + signUpLine("Zoë Peña", "") + signUpLine("'Ollie =x", "") +
		strings.Replace(signUpLine("Kit Peña", "Zoë Peña;602 555 0177;Zoë Peña;yes"), ";adult;", ";minor;", 1))
	page, status := p.upload(t, leader, "/hikes/1/sign-ups/import", file)
	if status != http.StatusOK || len(p.signUps(t)) != 0 {
		t.Fatalf("status %d, %d stored by a preview: %s", status, len(p.signUps(t)), page.Find("main").Text())
	}
	var states []string
	page.Find("tbody .Stamp").Each(func(_ int, s *goquery.Selection) { states = append(states, strings.TrimSpace(s.Text())) })
	if diff := cmp.Diff([]string{"confirmed", "confirmed", "asked"}, states); diff != "" {
		t.Errorf("preview (-want +got)\n%s", diff)
	}
	path, form := confirmation(t, page)
	for range 2 { // the second time everybody is here already
		if got := post(t, leader, p.base+path, form); got != http.StatusSeeOther {
			t.Fatalf("status %d", got)
		}
	}
	list := p.signUps(t)
	if len(list) != 3 {
		t.Fatalf("%d stored, want 3", len(list))
	}
	for _, x := range list {
		if x.ImportedBy != "Ash Moreno" || x.RiskVersion == "" || x.RiskAccepted.IsZero() || len(x.Link) == 0 {
			t.Errorf("%+v", x)
		}
	}
	if z := list[0]; z.Water != 4.5 || z.Mobile != "+1 602-555-0108" || z.Car.Plate != "=A1" || z.SelfReport.HotBefore != true {
		t.Errorf("%+v", z)
	}
	if mails, _ := p.db.Outbox().Recent(context.Background(), 10); len(mails) != 0 {
		t.Errorf("%d mails went out unasked", len(mails))
	}
	if res, _ := leader.Get(p.base + "/hikes/1/sign-ups.csv"); res.StatusCode != http.StatusForbidden {
		t.Errorf("two days before, the leader saves the table: status %d", res.StatusCode)
	}
	p.judgeSaved(t, coordinator)
}

// judgeSaved reads what a coordinator saves: nothing of health or of the talks, guarded.
func (p staffed) judgeSaved(t *testing.T, c *http.Client) {
	t.Helper()
	rows := p.savedTable(t, c, "/hikes/1/sign-ups.csv")
	want := [][]string{
		{"Name", "State", "Age", "E-mail", "Mobile", "Contact", "Contact phone", "Contact e-mail", "Guardian", "Guardian phone", "Guardian agrees", "Adult in charge", "Accepts the risks", "Brought in by", "Water litres", "Plate", "Car make", "Car colour", "Seats offered"},
		{"Zoë Peña", "confirmed", "", "zoe@example.org", "'+1 602-555-0108", "Someone Home", "'+1 480-555-0199", "", "", "", "", "", "yes", "Ash Moreno", "4.5", "'=A1", "", "", "2"},
		{"'Ollie =x", "confirmed", "", "'ollie@example.org", "'+1 602-555-0109", "Someone Home", "'+1 480-555-0199", "", "", "", "", "", "yes", "Ash Moreno", "4.5", "'=A1", "", "", "2"},
		{"Kit Peña", "asked", "minor", "kit@example.org", "'+1 602-555-0108", "Someone Home", "'+1 480-555-0199", "", "Zoë Peña", "'+1 602-555-0177", "yes", "Zoë Peña", "yes", "Ash Moreno", "4.5", "'=A1", "", "", "2"},
	}
	if diff := cmp.Diff(want, rows); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// What is saved comes back cell by cell: the columns that are not written are filled in, and
// another hike has the same people.
func TestSavedSignUpsComeBack(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "coordinator@example.org")
	page, _ := p.upload(t, c, "/hikes/1/sign-ups/import", []byte(signUpHead+signUpLine("Zoë Peña", "")+signUpLine("Jo Marsh", "")))
	path, form := confirmation(t, page)
	post(t, c, p.base+path, form)
	first := p.savedTable(t, c, "/hikes/1/sign-ups.csv")
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for i, row := range first {
		more := []string{"80", "4000", "3", "2", "fine", "3", "yes", "yes", "no", "no", "boots"}
		if i == 0 {
			more = []string{"Longest walk", "Climb", "Hours", "Weeks ago", "Walk in words", "Hot days", "Hot before", "Lives here", "Ill from heat", "Health to talk over", "Shoes"}
		} else {
			row[2] = "adult"
		}
		_ = w.Write(append(append([]string{}, row...), more...))
	}
	w.Flush()
	for _, x := range p.signUps(t) {
		if _, err := p.db.ChangeSignUp(context.Background(), x.ID, x.Asked, (*signup.SignUp).Withdraw); err != nil {
			t.Fatal(err)
		}
	}
	page, status := p.upload(t, c, "/hikes/1/sign-ups/import", b.Bytes())
	if status != http.StatusOK {
		t.Fatalf("status %d: %s", status, page.Find("main").Text())
	}
	path, form = confirmation(t, page)
	post(t, c, p.base+path, form)
	second := p.savedTable(t, c, "/hikes/1/sign-ups.csv")
	for i := range first {
		if i > 0 {
			first[i][2] = "" // the bands of grown-ups are not written
		}
	}
	if diff := cmp.Diff(first, second); diff != "" {
		t.Errorf("(-first +second)\n%s", diff)
	}
}

func TestPreviewRefusesByLineAndColumn(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "leads@example.org")
	good := signUpLine("Zoë Peña", "")
	for _, tt := range []struct {
		name string
		file string
		want []string
	}{
		{"a number too short", signUpHead + good + strings.Replace(signUpLine("Jo Marsh", ""), "480 555 0199", "480 55", 1), []string{"Column 6 (Contact phone): This number has 5 digits", "Nothing is brought in yet"}},
		{"no answer to a question", signUpHead + strings.Replace(good, ";yes;yes;no;no;", ";yes;yes;no;;", 1), []string{"Column 16 (Health to talk over): Say yes or no"}},
		{"a box that says neither", signUpHead + strings.Replace(good, ";2;yes;", ";2;maybe;", 1), []string{"Column 22 (Accepts the risks): Write yes, no or nothing"}},
		{"the risks not accepted", signUpHead + strings.Replace(good, ";2;yes;", ";2;no;", 1), []string{"Column 22 (Accepts the risks): Read and accept the risks"}},
		{"a band that the form does not have", signUpHead + strings.Replace(good, ";adult;", ";42;", 1), []string{"Column 4 (Age): Say which it is"}},
		{"no adult of the name", signUpHead + strings.Replace(signUpLine("Kit", "Ana;602 555 0177;Nobody;yes"), ";adult;", ";minor;", 1), []string{"Column 25 (Adult in charge): Nobody of this name"}},
		{"needed column missing", strings.Replace(signUpHead, ";Mobile;", ";Shoe size;", 1) + good, []string{`There is no column "Mobile"`, "Shoe size"}},
		{"column twice", strings.Replace(signUpHead, ";Mobile;", ";name;", 1) + good, []string{"Column 3 (name): this column stands twice"}},
		{"too many cells", signUpHead + strings.TrimRight(good, "\r\n") + ";x;y;z;u;v\r\n", []string{"cells and the head has 26"}},
		{"quote never closed", signUpHead + strings.Replace(good, ";boots;", ";\"boots;", 1), []string{"Line 2, column 17: the quote that opens this cell is never closed"}},
		{"nobody", signUpHead, []string{"There is nobody in the file"}},
		{"no file of text", "PK\x03\x04", []string{"Save it as CSV", "spreadsheet's own file"}},
		{"too large", strings.Repeat("x", 1<<20+1), []string{"bytes"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			page, status := p.upload(t, c, "/hikes/1/sign-ups/import", []byte(tt.file))
			text := page.Find("main").Text()
			for _, want := range tt.want {
				if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
					t.Errorf("the page does not say %q: %s", want, text)
				}
			}
			if status != http.StatusUnprocessableEntity || page.Find("input[name=table]").Length() != 0 {
				t.Errorf("status %d, %d forms to confirm", status, page.Find("input[name=table]").Length())
			}
		})
	}
	if n := len(p.signUps(t)); n != 0 {
		t.Errorf("%d stored", n)
	}
}

func TestGuessedEncodingIsSaid(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "leads@example.org")
	file := []byte(strings.Replace(signUpHead+signUpLine("Zoe Pena", ""), "Pena", "Pe\xf1a", 1))
	page, status := p.upload(t, c, "/hikes/1/sign-ups/import", file)
	if text := page.Find("main").Text(); status != http.StatusOK || !strings.Contains(text, "Windows-1252") || !strings.Contains(text, "is a guess") || !strings.Contains(text, "Zoe Peña") {
		t.Errorf("status %d: %s", status, text)
	}
}

// A preview is confirmed by whom it was made for, as it was; full places are never given.
func TestConfirmingOnlyWhatWasPreviewed(t *testing.T) {
	p := serveStaffed(t)
	leader, coordinator := p.signIn(t, "leads@example.org"), p.signIn(t, "coordinator@example.org")
	page, _ := p.upload(t, leader, "/hikes/1/sign-ups/import", []byte(signUpHead+signUpLine("Zoë Peña", "")))
	path, form := confirmation(t, page)
	if got := post(t, coordinator, p.base+path, form); got != http.StatusUnprocessableEntity {
		t.Errorf("somebody else's preview: status %d", got)
	}
	other := url.Values{"table": {form.Get("table") + "YWI"}, "seal": form["seal"]}
	if got := post(t, leader, p.base+path, other); got != http.StatusUnprocessableEntity {
		t.Errorf("another file: status %d", got)
	}
	if n := len(p.signUps(t)); n != 0 {
		t.Fatalf("%d stored", n)
	}
	var many strings.Builder
	many.WriteString(signUpHead)
	for i := range 30 {
		many.WriteString(signUpLine(fmt.Sprintf("W%02d Walker", i), ""))
	}
	page, _ = p.upload(t, leader, "/hikes/1/sign-ups/import", []byte(many.String()))
	path, form = confirmation(t, page)
	form.Set("mail", "yes")
	post(t, leader, p.base+path, form)
	count := map[signup.State]int{}
	for _, x := range p.signUps(t) {
		count[x.State]++
	}
	if count[signup.Confirmed] != 20 || count[signup.Waiting] != 10 {
		t.Errorf("%v: want 20 confirmed and 10 waiting", count)
	}
	if mails, _ := p.db.Outbox().Recent(context.Background(), 100); len(mails) != 30 {
		t.Errorf("%d mails, want one for each", len(mails))
	}
}
