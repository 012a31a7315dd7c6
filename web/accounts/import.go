package accounts

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/message"
	"saltbush/internal/sheet"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// PeopleImporter stores imported people.
type PeopleImporter interface {
	// ImportPeople creates accounts with their records and invitations, all or none. The lists
	// have the same order. It is account.ErrEmailTaken if another account has an address.
	ImportPeople(ctx context.Context, people []account.Account, records []team.Qualification,
		links []account.Link) error
}

// SavePeople sends a CSV file of all accounts with their roles and certificates.
func (s *Handlers) SavePeople(w http.ResponseWriter, r *http.Request) error {
	columns, err := s.personColumns(r)
	if err != nil {
		return err
	}
	people, err := s.peopleOnFile(r)
	if err != nil {
		return err
	}
	all := columns.all()
	var rows [][]string
	for _, p := range people {
		row := make([]string, len(all))
		for i, c := range all {
			row[i] = c.Write(p)
		}
		rows = append(rows, row)
	}
	return kit.SendSheet(w, "people-"+unit.DateOf(s.Now().In(s.Zone(r))).String(), sheet.Names(all.Heads()), rows)
}

// PersonHeads sends a CSV file with only the header of an import.
func (s *Handlers) PersonHeads(w http.ResponseWriter, r *http.Request) error {
	columns, err := s.personColumns(r)
	if err != nil {
		return err
	}
	return kit.SendSheet(w, "columns-of-people", columns.all().Read(), nil)
}

// ShowImport is the form for an import of people.
func (s *Handlers) ShowImport(w http.ResponseWriter, r *http.Request) error {
	return s.renderImport(w, r, http.StatusOK, nil)
}

func (s *Handlers) renderImport(w http.ResponseWriter, r *http.Request, status int, wrong error) error {
	columns, err := s.personColumns(r)
	if err != nil {
		return err
	}
	p := ui.SheetPage{Page: s.Page(r, "Bring in people", "People"), URL: "/people/import", BackURL: "/people",
		HeadsURL: "/people/import/columns.csv",
		Says: []string{
			"One line for each person. Each gets an account and a link by which they choose their own password.",
			"The whole list comes in, or nothing of it. Before that you see every line.",
			"Whoever has an account already is left as they are: what differs is named, and changed on their own " +
				"page.",
			"No letter goes out unless you ask for it.",
		},
		File: kit.SheetFile(wrong), Columns: columns.all().Lines()}
	return s.Render(w, r, status, ui.Sheet(p))
}

// person is one line of an import.
type person struct {
	row    sheet.Row
	a      account.Account
	record team.Qualification
	exists bool          // they have an account already
	notes  []string      // how the line differs from the account
	faults []sheet.Fault // why the person cannot be imported
}

// peopleLines is an import as it was read.
type peopleLines struct {
	data   []byte
	table  sheet.Table
	heads  sheet.Heads
	faults []sheet.Fault // of the header
	people []person
}

// valid reports whether the import has no faults.
func (l peopleLines) valid() bool {
	return len(l.faults)+len(l.table.Faults) == 0 &&
		!slices.ContainsFunc(l.people, func(p person) bool { return len(p.faults) > 0 })
}

// added returns the people who get an account.
func (l peopleLines) added() (list []person) {
	for _, p := range l.people {
		if !p.exists && len(p.faults) == 0 {
			list = append(list, p)
		}
	}
	return list
}

// readPeople reads every line by the rules of the forms of people and of their records.
func (s *Handlers) readPeople(r *http.Request, data []byte) (peopleLines, error) {
	l := peopleLines{data: data}
	var err error
	if l.table, err = sheet.Read(data, sheet.DefaultLimits()); err != nil {
		return l, err
	}
	columns, err := s.personColumns(r)
	if err != nil {
		return l, err
	}
	known, err := s.peopleOnFile(r)
	if err != nil {
		return l, err
	}
	l.heads, l.faults = l.table.Match(columns.all().Heads())
	first := map[string]int{} // the first line of each address
	for _, row := range l.table.Rows {
		if row.Blank() {
			continue
		}
		p := s.readPerson(r, columns, l.heads, row, known)
		if line, twice := first[p.a.Email]; twice && p.a.Email != "" && !p.exists {
			p.faults = append(p.faults, l.heads.Fault(row, "E-mail", fmt.Sprintf("Line %d has this address.", line)))
		} else {
			first[p.a.Email] = row.Line
		}
		l.people = append(l.people, p)
	}
	if len(l.people)+len(l.table.Faults) == 0 {
		l.faults = append(l.faults, sheet.Fault{Reason: "there is nobody in the file"})
	}
	return l, nil
}

func (s *Handlers) readPerson(r *http.Request, columns personColumns, heads sheet.Heads, row sheet.Row,
	known []onFile) person {
	f := kit.FormOf(columns.account.Values(heads, row))
	p := person{row: row, a: readNewcomer(f, s.Now())}
	for _, k := range known {
		if p.a.Email != "" && k.a.Email == p.a.Email {
			p.exists, p.notes = true, differences(columns.all(), heads, row, k)
			return p
		}
	}
	if len(f.Faults) > 0 {
		p.faults = columns.account.Faults(heads, row, f.Faults)
	}
	p.readRecord(columns, heads, kit.NameOf(r), s.Now())
	return p
}

// readRecord reads the approval and the certificates of a line.
func (p *person) readRecord(columns personColumns, heads sheet.Heads, by string, now time.Time) {
	if f, filled := p.formOf(columns.standing, heads); filled {
		c := team.Approval{By: by, Written: now}
		kit.ApprovalForm().Read(f, &c)
		p.addFaults(f, columns.standing, heads, c.Validate())
		p.record.Approvals = append(p.record.Approvals, c)
	}
	for i, k := range columns.kinds {
		f, filled := p.formOf(columns.papers[i], heads)
		if !filled {
			continue
		}
		var c team.Certificate
		kit.CertificateForm(columns.kinds).Read(f, &c)
		c.Kind = k.Name
		p.addFaults(f, columns.papers[i], heads, c.Validate())
		p.record.Certificates = append(p.record.Certificates, c)
	}
}

// formOf returns the form of some of the columns, and whether any of their cells is filled.
func (p *person) formOf(list kit.Columns[onFile], heads sheet.Heads) (kit.Form, bool) {
	typed := list.Values(heads, p.row)
	return kit.FormOf(typed), anyValue(typed)
}

func anyValue(v url.Values) bool {
	for _, list := range v {
		if strings.Join(list, "") != "" {
			return true
		}
	}
	return false
}

func (p *person) addFaults(f kit.Form, columns kit.Columns[onFile], heads sheet.Heads, err error) {
	if invalid, err := f.Invalid(err); err != nil {
		p.faults = append(p.faults, heads.Fault(p.row, "", err.Error()))
	} else if invalid != nil {
		p.faults = append(p.faults, columns.Faults(heads, p.row, invalid)...)
	}
}

// differences lists the columns in which a line differs from an existing account.
func differences(columns kit.Columns[onFile], heads sheet.Heads, row sheet.Row, k onFile) []string {
	says := []string{"Has an account already; left as it is."}
	var other []string
	for _, c := range columns {
		cell := heads.Cell(row, c.Name)
		if c.Field != "" && !text.Empty(cell) && c.Answer(cell) != c.Answer(c.Write(k)) {
			other = append(other, c.Name)
		}
	}
	if len(other) > 0 {
		says = append(says, "On file otherwise: "+strings.Join(other, ", ")+".")
	}
	return says
}

const peopleToken = "people"

// PreviewPeople shows what an import would do. Nothing is stored.
func (s *Handlers) PreviewPeople(w http.ResponseWriter, r *http.Request) error {
	data, err := kit.UploadedSheet(w, r)
	if err != nil {
		return s.renderImport(w, r, http.StatusUnprocessableEntity, err)
	}
	l, err := s.readPeople(r, data)
	if err != nil {
		return s.BadSheet(err,
			func(e error) error { return s.renderImport(w, r, http.StatusUnprocessableEntity, e) })
	}
	return s.renderPeoplePreview(w, r, l, false)
}

func (s *Handlers) renderPeoplePreview(w http.ResponseWriter, r *http.Request, l peopleLines, again bool) error {
	p := ui.SheetPreview{Page: s.Page(r, "Bring in people", "People"), URL: "/people/import/confirm",
		BackURL: "/people/import", ReadAs: kit.ReadAs(l.table),
		Unknown: kit.UnknownColumns(l.heads), Faults: kit.FaultWords(l.faults), New: len(l.added()),
		Mail: ui.Field{Name: "mail", Label: "Write to each of them, with their link.", Optional: true}}
	if again {
		p.Again = ui.NoteText{Kind: ui.NoteCaution, Title: "Nothing was brought in",
			Text: "Something has changed since the preview. This is how it stands now."}
	}
	status := http.StatusOK
	if !l.valid() {
		status, p.Refused = http.StatusUnprocessableEntity, true
	}
	for _, x := range l.people {
		p.Lines = append(p.Lines, x.line())
	}
	p.Lines = ui.WithBadLines(p.Lines, kit.BadLines(l.table))
	var err error
	if p.File, err = s.Carry(r, peopleToken, l.data); err != nil {
		return err
	}
	return s.Render(w, r, status, ui.SheetPreviewed(p))
}

func (p person) line() ui.SheetLine {
	line := ui.SheetLine{At: kit.LineAt(p.row), Order: p.row.Line, Name: p.a.Name, Says: p.notes}
	switch {
	case p.exists:
		line.Stamp = ui.SheetHere()
	case len(p.faults) > 0:
		line.Stamp, line.Says = ui.SheetRefused(), kit.Reasons(p.faults)
	default:
		line.Stamp, line.Says = ui.SheetNew(), p.summary()
	}
	return line
}

// summary describes the roles and the record of a new person.
func (p person) summary() []string {
	says := []string{"No role."}
	if len(p.a.Roles) > 0 {
		says = []string{format.SentenceCase(joinWords(p.a.Roles))}
	}
	for _, c := range p.record.Approvals {
		says = append(says, fmt.Sprintf("Level %s up to %s, %s since %s.",
			c.Level, c.MaxClass, c.Status, c.From.Words()))
	}
	for _, c := range p.record.Certificates {
		through := "without an end"
		if !c.Through.IsZero() {
			through = "through " + c.Through.Words()
		}
		says = append(says, c.Kind+" "+through+".")
	}
	return says
}

// ImportPeople stores a previewed import, all or nothing, and shows the invitations once.
func (s *Handlers) ImportPeople(w http.ResponseWriter, r *http.Request) error {
	data, err := s.ConfirmedSheet(w, r, peopleToken)
	if err != nil {
		return s.BadSheet(err,
			func(e error) error { return s.renderImport(w, r, http.StatusUnprocessableEntity, e) })
	}
	l, err := s.readPeople(r, data)
	if err != nil {
		return err // not about the file: the preview read it
	}
	if !l.valid() {
		return s.renderPeoplePreview(w, r, l, true)
	}
	added := l.added()
	if len(added) == 0 {
		return s.SeeOther(w, r, "/people", "Nobody was brought in: all of them have an account already.")
	}
	page, err := s.storePeople(r, added)
	if errors.Is(err, account.ErrEmailTaken) {
		if l, err = s.readPeople(r, data); err != nil {
			return err
		}
		return s.renderPeoplePreview(w, r, l, true)
	}
	if err != nil {
		return err
	}
	return s.Render(w, r, http.StatusCreated, ui.SheetBrought(page))
}

func (s *Handlers) storePeople(r *http.Request, added []person) (ui.BroughtPage, error) {
	page := ui.BroughtPage{Page: s.Page(r, "Brought in", "People"), Mailed: kit.NewForm(r).Checked("mail")}
	var people []account.Account
	var records []team.Qualification
	var links []account.Link
	for _, p := range added {
		shown, link, err := s.invitationFor(r, p.a)
		if err != nil {
			return page, err
		}
		people, records, links = append(people, p.a), append(records, p.record), append(links, link)
		page.Invitations = append(page.Invitations, shown)
	}
	if err := s.People.ImportPeople(r.Context(), people, records, links); err != nil {
		return page, err
	}
	if page.Mailed {
		for i, a := range people {
			s.mailInvitation(r, a, page.Invitations[i], links[i])
		}
	}
	return page, nil
}

// mailInvitation queues the invitation of a new person. If that fails the account stays: the
// coordinator has the link.
func (s *Handlers) mailInvitation(r *http.Request, a account.Account, shown ui.Invitation, l account.Link) {
	i := message.Invitation{Ref: hex.EncodeToString(l.Hash[:8]), To: a.Email, Name: a.Name, Group: "Saltbush",
		By: kit.NameOf(r), Link: shown.Link, Until: shown.Until, UselessAt: l.Expires}
	if house, err := s.Hikes.House(r.Context()); err == nil && house.Organisation != "" {
		i.Group = house.Organisation
	}
	m, err := message.Invited(i)
	s.notify.Send(r.Context(), m, err)
}
