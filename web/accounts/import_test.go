package accounts_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/account"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
)

const peopleHead = "Name,E-mail,Phone,Roles,Level,Hardest class,Endorsements,Status,Since,Reason," +
	"First aid: issuer,First aid: number,First aid: through,First aid: evidence\n"

// withFirstAid returns a site whose only kind of certificate is first aid.
func withFirstAid(t testing.TB) *sitetest.Site {
	t.Helper()
	ctx := context.Background()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	if err := s.DB.SaveCertificateKind(ctx, team.CertificateKind{Name: "First aid", Leader: true}); err != nil {
		t.Fatal(err)
	}
	kinds, err := s.DB.CertificateKinds(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range kinds {
		if k.Name == "First aid" {
			continue
		}
		if err := s.DB.RemoveCertificateKind(ctx, k.Name); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func preview(v *sitetest.Visitor, file string) sitetest.Page {
	return v.Upload("/people/import", "people.csv", []byte(file), nil)
}

func countAccounts(t testing.TB, s *sitetest.Site) int {
	t.Helper()
	n, err := s.DB.AccountStore().CountAccounts(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// People are imported with roles, level and certificates, each with an invitation. The saved
// table is the same, and importing it again does nothing.
func TestPeopleAreImportedAndSaved(t *testing.T) {
	t.Parallel()
	s := withFirstAid(t)
	v := s.SignIn(t, sitetest.Coordinator)
	v.Get("/people/import").Shows("what differs is named")
	page := preview(v, peopleHead+
		`'=Wren O'Dell,Wren@Example.org,'+1 602 555 0144,"leader, trainer",leader,strenuous,"rough ground, heat",`+
		"active,2026-10-01,checked out,Red Mesa School,'-7,2027-03-14,seen at training\n"+
		"Ash Moreno,leads@example.org,602 555 0100,coordinator,,,,,,,,,,\n"+
		"\"Pia\u00a0Lund\",pia@example.org,,,,,,,,,,,,\n")
	page.Want(http.StatusOK).Shows(
		"2 people would be added", "Leader, trainer.", "Level leader up to strenuous, active since 1 Oct 2026.",
		"First aid through 14 Mar 2027.", "left as it is", "On file otherwise: Phone, Roles.",
	)
	if got := countAccounts(t, s); got != 6 {
		t.Fatalf("%d accounts after a preview, want the 6 from before", got)
	}
	path, form := page.Confirmation()
	form.Set("mail", "yes")
	done := v.Post(path, form).Want(http.StatusCreated)
	if got := done.Find(".Copy").Length(); got != 2 {
		t.Fatalf("%d links, want 2: %s", got, done.Text("main"))
	}
	v.Post(path, form).Want(http.StatusSeeOther) // everybody has an account now
	checkImported(t, s)
	checkInvitations(t, s, strings.TrimSpace(done.Find(".Copy").First().Text()))
	checkSavedPeople(t, v.Get("/people.csv").Table())
}

func checkImported(t *testing.T, s *sitetest.Site) {
	t.Helper()
	wren := s.Account(t, "wren@example.org")
	if wren.Name != "=Wren O'Dell" || wren.PasswordHash != "" || !wren.Active {
		t.Errorf("Wren is %+v, want the name as in the file, no password, and active", wren)
	}
	if !wren.Has(account.Leader) || !wren.Has(account.Trainer) {
		t.Errorf("Wren has the roles %v, want leader and trainer", wren.Roles)
	}
	if ash := s.Account(t, sitetest.Leader); ash.Has(account.Coordinator) || ash.Phone != "" {
		t.Errorf("an account from before was changed: %+v", ash)
	}
}

func checkInvitations(t *testing.T, s *sitetest.Site, shown string) {
	t.Helper()
	mails := s.Mails(t)
	if len(mails) != 2 {
		t.Fatalf("%d mails, want 2", len(mails))
	}
	for _, m := range mails {
		sitetest.LinkIn(t, m, "invited")
	}
	s.Visitor(t).Get(shown).Want(http.StatusOK)
}

func checkSavedPeople(t *testing.T, rows [][]string) {
	t.Helper()
	want := []string{
		"'=Wren O'Dell", "wren@example.org", "'+1 602 555 0144", "leader, trainer", "invited", "leader", "strenuous",
		"rough ground, heat", "active", "2026-10-01", "checked out", "Red Mesa School", "'-7", "2027-03-14",
		"seen at training",
	}
	at := slices.IndexFunc(rows, func(row []string) bool { return row[1] == "wren@example.org" })
	if at < 0 || len(rows) != 9 {
		t.Fatalf("%d rows, Wren in row %d; want 9 with Wren", len(rows), at)
	}
	if diff := cmp.Diff(want, rows[at]); diff != "" {
		t.Errorf("saved (-want +got)\n%s", diff)
	}
}

// A table that one site saved is imported by another, which then saves the same.
func TestSavedPeopleCanBeImported(t *testing.T) {
	t.Parallel()
	file := peopleHead +
		`Wren O'Dell,wren@example.org,'+1 602 555 0144,"leader, on-call",sweep,moderate,,provisional,2026-10-01,new,` +
		"Red Mesa School,=7,,\"seen, twice\nat training\"\n" +
		"Pia Lund,pia@example.org,,,,,,,,,,,,\n"
	var tables [2][][]string
	for i := range tables {
		v := withFirstAid(t).SignIn(t, sitetest.Coordinator)
		path, form := preview(v, file).Want(http.StatusOK).Confirmation()
		v.Post(path, form)
		tables[i] = v.Get("/people.csv").Table()
		var b bytes.Buffer
		if err := csv.NewWriter(&b).WriteAll(tables[i]); err != nil {
			t.Fatal(err)
		}
		file = b.String()
	}
	if diff := cmp.Diff(tables[0], tables[1]); diff != "" || len(tables[0]) != 9 {
		t.Errorf("%d rows, want 9 (-first +second)\n%s", len(tables[0]), diff)
	}
}

func TestPeopleAreRefusedByLineAndColumn(t *testing.T) {
	t.Parallel()
	s := withFirstAid(t)
	v := s.SignIn(t, sitetest.Coordinator)
	const good = "Wren O'Dell,wren@example.org,,leader,,,,,,,,,,\n"
	for _, tt := range []struct{ name, line, want string }{
		{"no address", "Jo Marsh,jo,,,,,,,,,,,,\n", "Column 2 (E-mail): Give an address"},
		{"the address of another line", "Jo Marsh,WREN@example.org,,,,,,,,,,,,\n",
			"Column 2 (E-mail): Line 2 has this address"},
		{"no name", ",jo@example.org,,,,,,,,,,,,\n", "Column 1 (Name): Write a name"},
		{"no such role", "Jo Marsh,jo@example.org,,\"leader, king\",,,,,,,,,,\n",
			"Column 4 (Roles): Choose from this list"},
		{"no such level", "Jo Marsh,jo@example.org,,,chief,moderate,,active,2026-10-01,x,,,,\n",
			"Column 5 (Level): Choose a level"},
		{"half an approval", "Jo Marsh,jo@example.org,,,leader,moderate,,active,,x,,,,\n",
			"Column 9 (Since): Give the day from which it holds"},
		{"a day as spreadsheets write it", "Jo Marsh,jo@example.org,,,leader,moderate,,active,10/1/2026,x,,,,\n",
			"Column 9 (Since): Give a day, such as 2027-03-14"},
		{"half a certificate", "Jo Marsh,jo@example.org,,,,,,,,,Red Mesa School,,,\n",
			"Column 14 (First aid: evidence): Say where the paper was seen"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			preview(v.In(t), peopleHead+good+tt.line).Want(http.StatusUnprocessableEntity).Shows(tt.want)
		})
	}
	forged := url.Values{"table": {"TmFtZQ"}, "seal": {"1.x"}}
	v.Post("/people/import/confirm", forged).Want(http.StatusUnprocessableEntity)
	if got := countAccounts(t, s); got != 6 {
		t.Errorf("%d accounts, want 6", got)
	}
}
