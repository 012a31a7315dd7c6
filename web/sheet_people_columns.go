package web

import (
	"net/http"
	"slices"
	"strings"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// onFile is one person as a table has them.
type onFile struct {
	a   account.Account
	q   hike.Qualification
	now hike.Standing // the zero value where there is none
}

// personColumn is a column of the people of the house.
type personColumn struct {
	formColumn
	write func(p onFile) string
}

// personColumns are the columns by the form that reads them: the account, the standing, and
// one form for each kind of certificate that the house asks for.
type personColumns struct {
	account, standing []personColumn
	kinds             []hike.CertificateKind
	papers            [][]personColumn
}

func (c personColumns) all() []personColumn {
	return slices.Concat(append([][]personColumn{c.account, c.standing}, c.papers...)...)
}

func fieldsOf(list []personColumn) []formColumn {
	var out []formColumn
	for _, c := range list {
		out = append(out, c.formColumn)
	}
	return out
}

func (s *accountsHandlers) personColumns(r *http.Request) (personColumns, error) {
	kinds, err := s.Staff.CertificateKinds(r.Context())
	c := personColumns{account: accountColumns(), standing: standingColumns(), kinds: kinds}
	for _, k := range kinds {
		c.papers = append(c.papers, paperColumns(k.Name))
	}
	return c, err
}

func accountColumns() []personColumn {
	return []personColumn{
		{needed(column("Name", "name", cellText, "as it stands on rolls and notices")), func(p onFile) string { return p.a.Name }},
		{needed(column("E-mail", "email", cellText, "they sign in with it", "mail address", "e-mail address")), func(p onFile) string { return p.a.Email }},
		{column("Phone", "phone", cellText, "how staff and on-call reach them; may be empty"), func(p onFile) string { return p.a.Phone }},
		{column("Roles", "roles", cellList, "divided by commas: "+wordsOf(account.Roles())+"; may be empty"), func(p onFile) string { return wordsOf(p.a.Roles) }},
		{column("State", "", cellText, ""), func(p onFile) string { return personLine(p.a).State }},
	}
}

func standingColumns() []personColumn {
	return []personColumn{
		{column("Level", "level", cellWord, "one of "+wordsOf(hike.Levels())+"; empty where nothing is on record"), func(p onFile) string { return string(p.now.Level) }},
		{column("Hardest class", "max_class", cellWord, "one of "+wordsOf(hike.Classes())), func(p onFile) string { return string(p.now.MaxClass) }},
		{column("Endorsements", "endorsements", cellList, "divided by commas: "+wordsOf(hike.Endorsements())+"; may be empty"), func(p onFile) string { return wordsOf(p.now.Endorsements) }},
		{column("Status", "status", cellWord, "one of "+wordsOf(hike.Statuses())), func(p onFile) string { return string(p.now.Status) }},
		{column("Since", "from", cellText, "the day from which it holds, such as 2027-03-14"), func(p onFile) string { return p.now.From.String() }},
		{column("Reason", "reason", cellText, "kept with the day"), func(p onFile) string { return p.now.Reason }},
	}
}

func paperColumns(kind string) []personColumn {
	of := func(part func(hike.Certificate) string) func(onFile) string {
		return func(p onFile) string {
			c, _ := p.q.Certificate(kind)
			return part(c)
		}
	}
	return []personColumn{
		{column(kind+": issuer", "issuer", cellText, "who issued it; empty where they hold none"), of(func(c hike.Certificate) string { return c.Issuer })},
		{column(kind+": number", "number", cellText, "may be empty"), of(func(c hike.Certificate) string { return c.Number })},
		{column(kind+": through", "through", cellText, "its last day, such as 2027-03-14; empty where it never ends"), of(func(c hike.Certificate) string { return c.Through.String() })},
		{column(kind+": evidence", "evidence", cellText, "where the paper was seen"), of(func(c hike.Certificate) string { return c.Evidence })},
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
func (s *accountsHandlers) peopleOnFile(r *http.Request) ([]onFile, error) {
	list, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return nil, err
	}
	records, err := s.Staff.Qualifications(r.Context())
	if err != nil {
		return nil, err
	}
	of := map[int64]hike.Qualification{}
	for _, q := range records {
		of[q.Account] = q
	}
	today := hike.DateOf(s.Now().In(s.zone(r)))
	var people []onFile
	for _, a := range list {
		p := onFile{a: a, q: of[int64(a.ID)]}
		p.now, _ = p.q.On(today)
		people = append(people, p)
	}
	return people, nil
}
