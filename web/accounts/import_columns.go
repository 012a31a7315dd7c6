package accounts

import (
	"net/http"
	"slices"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
)

// onFile is one person as a table has them.
type onFile struct {
	a   account.Account
	q   team.Qualification
	now team.Approval // the zero value where there is none
}

// personColumn is a column of the people of the house.
type personColumn struct {
	kit.FormColumn
	write func(p onFile) string
}

// personColumns are the columns by the form that reads them: the account, the standing, and
// one form for each kind of certificate that the house asks for.
type personColumns struct {
	account, standing []personColumn
	kinds             []team.CertificateKind
	papers            [][]personColumn
}

func (c personColumns) all() []personColumn {
	return slices.Concat(append([][]personColumn{c.account, c.standing}, c.papers...)...)
}

func fieldsOf(list []personColumn) []kit.FormColumn {
	var out []kit.FormColumn
	for _, c := range list {
		out = append(out, c.FormColumn)
	}
	return out
}

func (s *Handlers) personColumns(r *http.Request) (personColumns, error) {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	c := personColumns{account: accountColumns(), standing: standingColumns(), kinds: kinds}
	for _, k := range kinds {
		c.papers = append(c.papers, paperColumns(k.Name))
	}
	return c, err
}

func accountColumns() []personColumn {
	return []personColumn{
		{kit.Needed(kit.Column("Name", "name", kit.CellText, "as it stands on rolls and notices")), func(p onFile) string { return p.a.Name }},
		{kit.Needed(kit.Column("E-mail", "email", kit.CellText, "they sign in with it", "mail address", "e-mail address")), func(p onFile) string { return p.a.Email }},
		{kit.Column("Phone", "phone", kit.CellText, "how staff and on-call reach them; may be empty"), func(p onFile) string { return p.a.Phone }},
		{kit.Column("Roles", "roles", kit.CellList, "divided by commas: "+wordsOf(account.Roles())+"; may be empty"), func(p onFile) string { return wordsOf(p.a.Roles) }},
		{kit.Column("State", "", kit.CellText, ""), func(p onFile) string { return personLine(p.a).State }},
	}
}

func standingColumns() []personColumn {
	return []personColumn{
		{kit.Column("Level", "level", kit.CellWord, "one of "+wordsOf(team.Levels())+"; empty where nothing is on record"), func(p onFile) string { return string(p.now.Level) }},
		{kit.Column("Hardest class", "max_class", kit.CellWord, "one of "+wordsOf(trail.Classes())), func(p onFile) string { return string(p.now.MaxClass) }},
		{kit.Column("Endorsements", "endorsements", kit.CellList, "divided by commas: "+wordsOf(team.Endorsements())+"; may be empty"), func(p onFile) string { return wordsOf(p.now.Endorsements) }},
		{kit.Column("Status", "status", kit.CellWord, "one of "+wordsOf(team.Statuses())), func(p onFile) string { return string(p.now.Status) }},
		{kit.Column("Since", "from", kit.CellText, "the day from which it holds, such as 2027-03-14"), func(p onFile) string { return p.now.From.String() }},
		{kit.Column("Reason", "reason", kit.CellText, "kept with the day"), func(p onFile) string { return p.now.Reason }},
	}
}

func paperColumns(kind string) []personColumn {
	of := func(part func(team.Certificate) string) func(onFile) string {
		return func(p onFile) string {
			c, _ := p.q.Certificate(kind)
			return part(c)
		}
	}
	return []personColumn{
		{kit.Column(kind+": issuer", "issuer", kit.CellText, "who issued it; empty where they hold none"), of(func(c team.Certificate) string { return c.Issuer })},
		{kit.Column(kind+": number", "number", kit.CellText, "may be empty"), of(func(c team.Certificate) string { return c.Number })},
		{kit.Column(kind+": through", "through", kit.CellText, "its last day, such as 2027-03-14; empty where it never ends"), of(func(c team.Certificate) string { return c.Through.String() })},
		{kit.Column(kind+": evidence", "evidence", kit.CellText, "where the paper was seen"), of(func(c team.Certificate) string { return c.Evidence })},
	}
}

// wordsOf writes several words into one cell.
func wordsOf[T ~string](words []T) string {
	var list []string
	for _, w := range words {
		list = append(list, string(w))
	}
	return strings.Join(list, ", ")
}

// peopleOnFile is everybody with an account, with their records.
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
