package signups_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

const (
	importPath = "/hikes/1/sign-ups/import"
	savedPath  = "/hikes/1/sign-ups.csv"
)

const importHead = "Name;E-mail;Mobile;Age;Contact;Contact phone;Longest walk;Climb;Hours;Weeks ago;Walk in words;" +
	"Hot days;Hot before;Lives here;Ill from heat;Health to talk over;Shoes;Water litres;To do for them;Plate;" +
	"Seats offered;Accepts the risks;Guardian;Guardian phone;Adult in charge;Guardian agrees\r\n"

// importLine is a person with whom there is nothing to talk over. More is the last columns,
// from the guardian on.
func importLine(name, more string) string {
	mail := strings.ReplaceAll(strings.ToLower(strings.Fields(name)[0]), "ë", "e") + "@example.org"
	return fmt.Sprintf("%s;%s;602 555 01%02d;adult;Someone Home;480 555 0199;80;4000;3;2;fine;3;yes;yes;no;no;boots;"+
		"4,5;hears badly;=A1;2;yes;%s\r\n", name, mail, len([]rune(name)), more)
}

func minor(line string) string { return strings.Replace(line, ";adult;", ";minor;", 1) }

func preview(v *sitetest.Visitor, file string) sitetest.Page {
	return v.Upload(importPath, "people.csv", []byte(file), nil)
}

// A list goes in over its preview, all of it, marked with who imported it.
func TestSignUpsAreImported(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	leader := o.SignIn(t, sitetest.Leader)
	page := preview(leader, importHead+importLine("Zoë Peña", "")+importLine("'Ollie =x", "")+
		minor(importLine("Kit Peña", "Zoë Peña;602 555 0177;Zoë Peña;yes"))).Want(http.StatusOK)
	if got := len(o.SignUps(t, 1)); got != 0 {
		t.Fatalf("%d stored by a preview, want none", got)
	}
	var states []string
	for _, s := range page.Find("tbody .Stamp").EachIter() {
		states = append(states, strings.TrimSpace(s.Text()))
	}
	if diff := cmp.Diff([]string{"confirmed", "confirmed", "asked"}, states); diff != "" {
		t.Errorf("preview (-want +got)\n%s", diff)
	}
	leader.Get(importPath).Shows("a list may be brought in again", "that you brought these people in")
	path, form := page.Confirmation()
	for _, said := range []string{
		"3 people brought in: 2 confirmed, 1 with a talk first, 0 waiting.",
		"Nobody was brought in: all of them are on the hike already.",
	} {
		to := leader.Post(path, form).Want(http.StatusSeeOther).Location()
		leader.Get(to).Shows(said)
	}
	list := o.SignUps(t, 1)
	if len(list) != 3 {
		t.Fatalf("%d stored, want 3", len(list))
	}
	for _, s := range list {
		if s.ImportedBy != "Ash Moreno" || s.RiskVersion == "" || s.RiskAccepted.IsZero() || len(s.Link) == 0 {
			t.Errorf("stored %+v, want who imported it, the risks accepted, and a link", s)
		}
	}
	zoe := list[0]
	if zoe.Water != 4.5 || zoe.Mobile != "+1 602-555-0108" || zoe.Car.Plate != "=A1" || !zoe.SelfReport.HotBefore {
		t.Errorf("stored %+v, want what the file says", zoe)
	}
	if got := len(o.Mails(t)); got != 0 {
		t.Errorf("%d mails were sent and not asked for", got)
	}
	leader.Get(savedPath).Want(http.StatusForbidden) // two days before, only the coordinator saves it
	checkSaved(t, o.SignIn(t, sitetest.Coordinator).Get(savedPath).Table())
}

// checkSaved holds what a coordinator saves: nothing of health or of the talks, and no cell
// that a spreadsheet would take for a formula.
func checkSaved(t *testing.T, got [][]string) {
	t.Helper()
	const mobile8, mobile9, home = "'+1 602-555-0108", "'+1 602-555-0109", "'+1 480-555-0199"
	want := [][]string{
		{
			"Name", "State", "Age", "E-mail", "Mobile", "Contact", "Contact phone", "Contact e-mail", "Guardian",
			"Guardian phone", "Guardian agrees", "Adult in charge", "Accepts the risks", "Brought in by",
			"Water litres", "Plate", "Car make", "Car colour", "Seats offered",
		},
		{
			"Zoë Peña", "confirmed", "", "zoe@example.org", mobile8, "Someone Home", home, "", "", "", "", "", "yes",
			"Ash Moreno", "4.5", "'=A1", "", "", "2",
		},
		{
			"'Ollie =x", "confirmed", "", "'ollie@example.org", mobile9, "Someone Home", home, "", "", "", "", "",
			"yes", "Ash Moreno", "4.5", "'=A1", "", "", "2",
		},
		{
			"Kit Peña", "asked", "minor", "kit@example.org", mobile8, "Someone Home", home, "", "Zoë Peña",
			"'+1 602-555-0177", "yes", "Zoë Peña", "yes", "Ash Moreno", "4.5", "'=A1", "", "", "2",
		},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("saved (-want +got)\n%s", diff)
	}
}

// A saved table comes back cell by cell once the columns that are never saved are filled in.
func TestSavedSignUpsComeBack(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.SignIn(t, sitetest.Coordinator)
	path, form := preview(v, importHead+importLine("Zoë Peña", "")+importLine("Jo Marsh", "")).Confirmation()
	v.Post(path, form)
	first := v.Get(savedPath).Table()
	file := withAnswers(t, first)
	for _, s := range o.SignUps(t, 1) {
		if _, err := o.DB.ChangeSignUp(t.Context(), s.ID, s.Asked, (*signup.SignUp).Withdraw); err != nil {
			t.Fatal(err)
		}
	}
	path, form = preview(v, file).Want(http.StatusOK).Confirmation()
	v.Post(path, form)
	if diff := cmp.Diff(first, v.Get(savedPath).Table()); diff != "" {
		t.Errorf("saved (-first +second)\n%s", diff)
	}
}

// withAnswers adds to a saved table what is never saved: the age of adults, and the answers
// about fitness and heat.
func withAnswers(t *testing.T, saved [][]string) (file string) {
	t.Helper()
	heads := []string{
		"Longest walk", "Climb", "Hours", "Weeks ago", "Walk in words", "Hot days", "Hot before", "Lives here",
		"Ill from heat", "Health to talk over", "Shoes",
	}
	answers := []string{"80", "4000", "3", "2", "fine", "3", "yes", "yes", "no", "no", "boots"}
	rows := [][]string{append(append([]string{}, saved[0]...), heads...)}
	for _, row := range saved[1:] {
		row = append(append([]string{}, row...), answers...)
		row[2] = "adult"
		rows = append(rows, row)
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestImportIsRefusedByLineAndColumn(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.SignIn(t, sitetest.Leader)
	good := importLine("Zoë Peña", "")
	changed := func(text, from, to string) string { return strings.Replace(text, from, to, 1) }
	for _, tt := range []struct {
		name, file string
		want       []string
	}{
		{"a number too short", importHead + good + changed(importLine("Jo Marsh", ""), "480 555 0199", "480 55"),
			[]string{"Column 6 (Contact phone): This number has 5 digits", "Nothing is brought in yet"}},
		{"no answer to a question", importHead + changed(good, ";yes;yes;no;no;", ";yes;yes;no;;"),
			[]string{"Column 16 (Health to talk over): Say yes or no"}},
		{"a box that says neither", importHead + changed(good, ";2;yes;", ";2;maybe;"),
			[]string{"Column 22 (Accepts the risks): Write yes, no or nothing"}},
		{"the risks not accepted", importHead + changed(good, ";2;yes;", ";2;no;"),
			[]string{"Column 22 (Accepts the risks): Read and accept the risks"}},
		{"an age that the form does not have", importHead + changed(good, ";adult;", ";42;"),
			[]string{"Column 4 (Age): Say which it is"}},
		{"no adult of the name", importHead + minor(importLine("Kit", "Ana;602 555 0177;Nobody;yes")),
			[]string{"Column 25 (Adult in charge): Nobody of this name"}},
		{"a needed column missing", changed(importHead, ";Mobile;", ";Shoe size;") + good,
			[]string{`There is no column "Mobile"`, "Shoe size"}},
		{"a column twice", changed(importHead, ";Mobile;", ";name;") + good,
			[]string{"Column 3 (name): this column stands twice"}},
		{"too many cells", importHead + strings.TrimRight(good, "\r\n") + ";x;y;z;u;v\r\n",
			[]string{"cells and the head has 26"}},
		{"a quote never closed", importHead + changed(good, ";boots;", ";\"boots;"),
			[]string{"Line 2, column 17: the quote that opens this cell is never closed"}},
		{"nobody", importHead, []string{"There is nobody in the file"}},
		{"no file of text", "PK\x03\x04", []string{"Save it as CSV", "spreadsheet's own file"}},
		{"too large", strings.Repeat("x", 1<<20+1), []string{"bytes"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			page := preview(v.In(t), tt.file).Want(http.StatusUnprocessableEntity)
			text := strings.ToLower(page.Text("main"))
			for _, want := range tt.want {
				if !strings.Contains(text, strings.ToLower(want)) {
					t.Errorf("the page does not say %q: %s", want, text)
				}
			}
			if got := page.Find("input[name=table]").Length(); got != 0 {
				t.Errorf("%d forms to confirm it, want none", got)
			}
		})
	}
	if got := len(o.SignUps(t, 1)); got != 0 {
		t.Errorf("%d stored, want none", got)
	}
}

func TestGuessedEncodingIsNamed(t *testing.T) {
	t.Parallel()
	v := serve(t, sitetest.Staffed).SignIn(t, sitetest.Leader)
	file := strings.Replace(importHead+importLine("Zoe Pena", ""), "Pena", "Pe\xf1a", 1)
	preview(v, file).Want(http.StatusOK).Shows("Windows-1252", "is a guess", "Zoe Peña")
}

// A preview is confirmed by the one it was made for, with the file that was previewed.
func TestOnlyThePreviewedFileIsConfirmed(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	leader, coordinator := o.SignIn(t, sitetest.Leader), o.SignIn(t, sitetest.Coordinator)
	path, form := preview(leader, importHead+importLine("Zoë Peña", "")).Confirmation()
	coordinator.Post(path, form).Want(http.StatusUnprocessableEntity)
	other := url.Values{"table": {form.Get("table") + "YWI"}, "seal": form["seal"]}
	leader.Post(path, other).Want(http.StatusUnprocessableEntity)
	if got := len(o.SignUps(t, 1)); got != 0 {
		t.Errorf("%d stored, want none", got)
	}
}

func TestImportFillsThePlacesAndThenTheWaitlist(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	leader := o.SignIn(t, sitetest.Leader)
	var file strings.Builder
	file.WriteString(importHead)
	for i := range 30 {
		file.WriteString(importLine(fmt.Sprintf("W%02d Walker", i), ""))
	}
	path, form := preview(leader, file.String()).Confirmation()
	form.Set("mail", "yes")
	leader.Post(path, form)
	count := map[signup.State]int{}
	for _, s := range o.SignUps(t, 1) {
		count[s.State]++
	}
	if diff := cmp.Diff(map[signup.State]int{signup.Confirmed: 20, signup.Waiting: 10}, count); diff != "" {
		t.Errorf("states (-want +got)\n%s", diff)
	}
	if got := len(o.Mails(t)); got != 30 {
		t.Errorf("%d mails, want 30: one for each", got)
	}
}
