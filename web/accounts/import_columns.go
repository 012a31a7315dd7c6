package accounts

import (
	"net/http"
	"slices"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/ref"
	"saltbush/internal/sheet"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// onFile is a stored person as a row of a table.
type onFile struct {
	a   account.Account
	q   team.Qualification
	now team.Approval // the current one; zero for none
}

// personColumns are the columns of a table of people, by the form that reads them: the
// account, the approval, and one form for each kind of certificate of the house.
type personColumns struct {
	account, standing kit.Columns[onFile]
	kinds             []team.CertificateKind
	papers            []kit.Columns[onFile]
}

func (c personColumns) all() kit.Columns[onFile] {
	return slices.Concat(append([]kit.Columns[onFile]{c.account, c.standing}, c.papers...)...)
}

func (s *Handlers) personColumns(r *http.Request) (personColumns, error) {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	c := personColumns{account: accountColumns(), standing: standingColumns(), kinds: kinds}
	for _, k := range kinds {
		c.papers = append(c.papers, paperColumns(k.Name))
	}
	return c, err
}

func accountColumns() kit.Columns[onFile] {
	form := kit.PartOf(func(p *onFile) *account.Account { return &p.a }, PersonForm())
	return kit.Columns[onFile]{
		form.Named("name").Column("Name", "as it stands on rolls and notices").AsNeeded(),
		form.Named("email").Column("E-mail", "they sign in with it", "mail address", "e-mail address").AsNeeded(),
		form.Named("phone").Column("Phone", "how staff and on-call reach them; may be empty"),
		form.Named("roles").Column("Roles", "divided by commas: "+joinWords(account.Roles())+"; may be empty"),
		{Column: sheet.Column{Name: "State"}, Write: func(p onFile) string { return personLine(p.a).State }},
	}
}

func standingColumns() kit.Columns[onFile] {
	form := kit.PartOf(func(p *onFile) *team.Approval { return &p.now }, kit.ApprovalForm())
	return kit.Columns[onFile]{
		form.Named("level").Column("Level", "one of "+joinWords(team.Levels())+"; empty where nothing is on record"),
		form.Named("max_class").Column("Hardest class", "one of "+joinWords(trail.Classes())),
		form.Named("endorsements").Column("Endorsements",
			"divided by commas: "+joinWords(team.Endorsements())+"; may be empty"),
		form.Named("status").Column("Status", "one of "+joinWords(team.Statuses())),
		form.Named("from").Column("Since", "the day from which it holds, such as 2027-03-14"),
		form.Named("reason").Column("Reason", "kept with the day"),
	}
}

func paperColumns(kind string) kit.Columns[onFile] {
	form := kit.PartOf(func(p *onFile) *team.Certificate {
		c, _ := p.q.Certificate(kind)
		return &c
	}, kit.CertificateForm(nil))
	return kit.Columns[onFile]{
		form.Named("issuer").Column(kind+": issuer", "who issued it; empty where they hold none"),
		form.Named("number").Column(kind+": number", "may be empty"),
		form.Named("through").Column(kind+": through", "its last day, such as 2027-03-14; empty where it never ends"),
		form.Named("evidence").Column(kind+": evidence", "where the paper was seen"),
	}
}

// joinWords returns words as the text of one cell.
func joinWords[T ~string](words []T) string {
	var list []string
	for _, w := range words {
		list = append(list, string(w))
	}
	return strings.Join(list, ", ")
}

// peopleOnFile returns all accounts with their records.
func (s *Handlers) peopleOnFile(r *http.Request) ([]onFile, error) {
	list, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return nil, err
	}
	records, err := s.Staff.Qualifications(r.Context())
	if err != nil {
		return nil, err
	}
	of := map[ref.Account]team.Qualification{}
	for _, q := range records {
		of[q.Account] = q
	}
	today := unit.DateOf(s.Now().In(s.Zone(r)))
	var people []onFile
	for _, a := range list {
		p := onFile{a: a, q: of[a.ID]}
		p.now, _ = p.q.On(today)
		people = append(people, p)
	}
	return people, nil
}
