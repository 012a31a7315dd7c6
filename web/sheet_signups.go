package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/sheet"
	"saltbush/web/view"
)

func sheetPath(id hike.HikeID) string { return hikePath(id) + "/sign-ups/bring" }

// saveSignUps answers with the people of a hike as a table, as far as the viewer may read of
// them: nothing of health, and no answers of the talks.
func (s *Server) saveSignUps(w http.ResponseWriter, r *http.Request) error {
	h := hikeIn(r)
	list, err := s.Hikes.SignUps(r.Context(), h.ID)
	if err != nil {
		return err
	}
	var columns []signUpColumn
	sight := s.staffSight(r, h)
	for _, c := range signUpColumns() {
		if c.write != nil && sight.Sees(c.kind) {
			columns = append(columns, c)
		}
	}
	head, rows := []string{}, [][]string{}
	for _, c := range columns {
		head = append(head, c.Name)
	}
	for _, x := range list {
		if x.State == hike.Withdrawn || x.State == hike.TurnedAway {
			continue
		}
		row := make([]string, len(columns))
		for i, c := range columns {
			row[i] = c.write(x)
		}
		rows = append(rows, row)
	}
	return sendSheet(w, fmt.Sprintf("sign-ups-hike-%d-%s", h.ID, hike.DateOf(h.Start)), head, rows)
}

// signUpHeads answers with a table that has nothing but the heads of what can be brought in.
func (s *Server) signUpHeads(w http.ResponseWriter, r *http.Request) error {
	var head []string
	for _, c := range signUpFields() {
		if c.field != "" {
			head = append(head, c.Name)
		}
	}
	return sendSheet(w, "columns-of-sign-ups", head, nil)
}

func (s *Server) showBringSignUps(w http.ResponseWriter, r *http.Request) error {
	return s.renderBringSignUps(w, r, http.StatusOK, nil)
}

func (s *Server) renderBringSignUps(w http.ResponseWriter, r *http.Request, status int, wrong error) error {
	t, err := s.tellTalks(r) // a list has the answers of the talks in it
	if err != nil {
		return err
	}
	if !t.hike.TakesSignUps(s.Now()) {
		return hike.Refusal("This hike no longer takes sign-ups.")
	}
	version, _ := hike.RisksVersion()
	p := view.SheetPage{Page: s.page(r, "Bring in sign-ups", "Desk"), Over: t.hike.Title + ", " + view.Day(t.hike.Start, t.zone()),
		URL: sheetPath(t.hike.ID), BackURL: managePath(t.hike.ID) + "#sign-ups", HeadsURL: sheetPath(t.hike.ID) + "/columns.csv",
		Says: []string{
			"One line for each person. The rules are those of the form: a talk first where there is something to talk over, and the waiting list when the places are gone.",
			"The whole list comes in, or nothing of it. Before that you see every line.",
			"Whoever is on the hike already is left as they are, so a list may be brought in again.",
			"No letter goes out unless you ask for it. Their contacts are asked three days before the hike, as everybody's are.",
		},
		Columns: columnLines(signUpFields()), Risks: hike.Risks(), Version: "Version " + version + ". It is kept that you brought these people in, and when."}
	p.File = sheetFile(wrong)
	return s.render(w, r, status, view.Sheet(p))
}

func sheetFile(wrong error) view.Field {
	f := view.Field{Name: "file", Label: "The file", Hint: "CSV, as spreadsheets save it."}
	if wrong != nil {
		f.Error = sentenceCase(wrong.Error())
	}
	return f
}

func columnLines(list []formColumn) []view.Line {
	var lines []view.Line
	for _, c := range list {
		if c.field == "" {
			continue
		}
		l := view.Line{Label: c.Name, Value: c.says}
		if c.Needed {
			l.Note = "needed"
		}
		lines = append(lines, l)
	}
	return lines
}

// signUpLines is a list of requests with what was wrong with them before any rule of the
// hike was asked.
type signUpLines struct {
	data   []byte
	table  sheet.Table
	heads  sheet.Heads
	faults []sheet.Fault // of the head
	rows   []sheet.Row
	wrong  [][]sheet.Fault // line by line
	asks   []hike.SignUp
}

// readSignUps reads every line as the form would be read.
func (s *Server) readSignUps(r *http.Request, t told, data []byte) (signUpLines, error) {
	l := signUpLines{data: data}
	var err error
	if l.table, err = sheet.Read(data, sheet.DefaultLimits()); err != nil {
		return l, err
	}
	columns := signUpFields()
	l.heads, l.faults = l.table.Match(columnsOf(columns))
	for _, row := range l.table.Rows {
		if row.Blank() {
			continue
		}
		p, wrong, err := s.readSignUpLine(r, t, columns, l.heads, row)
		if err != nil {
			return l, err
		}
		l.rows, l.asks, l.wrong = append(l.rows, row), append(l.asks, p), append(l.wrong, wrong)
	}
	if len(l.rows)+len(l.table.Faults) == 0 {
		l.faults = append(l.faults, sheet.Fault{Reason: "there is nobody in the file"})
	}
	return l, nil
}

func (s *Server) readSignUpLine(r *http.Request, t told, columns []formColumn, heads sheet.Heads, row sheet.Row) (hike.SignUp, []sheet.Fault, error) {
	typed := values(columns, heads, row)
	for field, usual := range map[string]string{"walk_unit": "km", "climb_unit": "m"} {
		if typed.Get(field) == "" {
			typed.Set(field, usual)
		}
	}
	f := formOf(typed)
	badBoxes(f, columns)
	unitsKnown(f)
	p := s.readSignUp(f, t.hike.ID)
	p.BroughtBy = nameOf(r)
	invalid, err := f.invalid(p.Check(hike.RegionOf(t.trail.Zone)))
	if err != nil {
		return p, nil, err
	}
	p.Screening.Talk = hike.TalkFirst(p, t.trail, t.plan, t.hike.Rules())
	if invalid == nil {
		return p, nil, nil
	}
	return p, faultsOf(columns, heads, row, invalid), nil
}

// unitsKnown refuses units that the form does not offer.
func unitsKnown(f form) {
	if u := f.text("walk_unit"); u != "km" && u != "mi" {
		f.faults.Add("walk_unit", "Write km or mi.")
	}
	if u := f.text("climb_unit"); u != "m" && u != "ft" {
		f.faults.Add("climb_unit", "Write m or ft.")
	}
}

// fit returns the requests that are right by themselves.
func (l signUpLines) fit() (list []hike.SignUp) {
	for i, p := range l.asks {
		if len(l.wrong[i]) == 0 {
			list = append(list, p)
		}
	}
	return list
}

// whole reports whether nothing is wrong so far.
func (l signUpLines) whole() bool {
	return len(l.faults)+len(l.table.Faults) == 0 && len(l.fit()) == len(l.asks)
}

// previewSignUps shows what would become of every line. Nothing is stored.
func (s *Server) previewSignUps(w http.ResponseWriter, r *http.Request) error {
	data, err := uploadedSheet(w, r)
	if err != nil {
		return s.renderBringSignUps(w, r, http.StatusUnprocessableEntity, err)
	}
	t, err := s.tellTalks(r)
	if err != nil {
		return err
	}
	l, err := s.readSignUps(r, t, data)
	if err != nil {
		return s.badSheet(err, func(e error) error { return s.renderBringSignUps(w, r, http.StatusUnprocessableEntity, e) })
	}
	return s.renderSignUpPreview(w, r, t, l, t.hike.Bring(l.fit(), t.signUps, s.Now()), false)
}

// badSheet shows a form again where the file is at fault; any other error is ours.
func (s *Server) badSheet(err error, again func(error) error) error {
	var fault sheet.Fault
	if errors.As(err, &fault) || errors.Is(err, errPreview) {
		return again(err)
	}
	return err
}

func (s *Server) renderSignUpPreview(w http.ResponseWriter, r *http.Request, t told, l signUpLines, brought []hike.Brought, again bool) error {
	p := view.SheetPreview{Page: s.page(r, "Bring in sign-ups", "Desk"), Over: t.hike.Title + ", " + view.Day(t.hike.Start, t.zone()),
		URL: sheetPath(t.hike.ID) + "/confirm", BackURL: sheetPath(t.hike.ID), ReadAs: readAs(l.table), Unknown: unknownColumns(l.heads),
		Faults: faultWords(l.faults), Mail: view.Field{Name: "mail", Label: "Write to each of them, with the link to their place.", Optional: true}}
	if again {
		p.Again = view.NoteText{Kind: view.NoteCaution, Title: "Nothing was brought in", Text: "Something has changed since the preview. This is how it stands now."}
	}
	status := http.StatusOK
	p.Lines, p.New = signUpPreviewLines(t, l, brought)
	if !l.whole() || !hike.BroughtWhole(brought) {
		status = http.StatusUnprocessableEntity
		p.Refused = true
	}
	var err error
	if p.File, err = s.carry(r, signUpSeal(t.hike.ID), l.data); err != nil {
		return err
	}
	return s.render(w, r, status, view.SheetPreviewed(p))
}

func signUpSeal(id hike.HikeID) string { return fmt.Sprintf("sign-ups %d", id) }

// signUpPreviewLines stamps every line, and counts the new ones.
func signUpPreviewLines(t told, l signUpLines, brought []hike.Brought) (lines []view.SheetLine, added int) {
	next := 0
	for i, row := range l.rows {
		line := view.SheetLine{At: lineAt(row), Order: row.Line, Name: l.asks[i].Name}
		if len(l.wrong[i]) > 0 {
			line.Stamp, line.Says = view.SheetRefused(), reasons(l.wrong[i])
			lines = append(lines, line)
			continue
		}
		b := brought[next]
		next++
		switch {
		case b.Here:
			line.Stamp, line.Says = view.SheetHere(), []string{"On this hike already; left as it is."}
		case b.Wrong != nil:
			line.Stamp, line.Says = view.SheetRefused(), reasons(faultsOf(signUpFields(), l.heads, row, b.Wrong))
		default:
			added++
			line.Stamp = view.StampOf(string(b.SignUp.State))
			line.Says = signUpSays(t, b.SignUp)
		}
		lines = append(lines, line)
	}
	return view.WithBadLines(lines, badLines(l.table)), added
}

func signUpSays(t told, p hike.SignUp) []string {
	says := []string{}
	if p.State == hike.Asked {
		says = append(says, "A talk first.")
		if until := held(t.hike, p); until != "" {
			says = append(says, "A place is kept until "+until+".")
		}
	}
	return says
}

// badLines are lines that do not fit the head of their file.
func badLines(t sheet.Table) (lines []view.SheetLine) {
	for _, f := range t.Faults {
		lines = append(lines, view.SheetLine{At: strconv.Itoa(f.Line), Order: f.Line, Stamp: view.SheetRefused(), Says: reasons([]sheet.Fault{f})})
	}
	return lines
}

// lineAt is the place of a row in words.
func lineAt(r sheet.Row) string {
	if r.Line == r.Number {
		return strconv.Itoa(r.Line)
	}
	return fmt.Sprintf("%d, row %d of a spreadsheet", r.Line, r.Number)
}

// bringSignUps stores a list that was previewed: all of it, or nothing.
func (s *Server) bringSignUps(w http.ResponseWriter, r *http.Request) error {
	h := hikeIn(r)
	data, err := s.confirmedSheet(w, r, signUpSeal(h.ID))
	if err != nil {
		return s.badSheet(err, func(e error) error { return s.renderBringSignUps(w, r, http.StatusUnprocessableEntity, e) })
	}
	t, err := s.tellTalks(r)
	if err != nil {
		return err
	}
	l, err := s.readSignUps(r, t, data)
	if err != nil {
		return err // it was read before
	}
	if !l.whole() {
		return s.renderSignUpPreview(w, r, t, l, h.Bring(l.fit(), t.signUps, s.Now()), true)
	}
	secrets, err := s.acceptLines(r, l.asks)
	if err != nil {
		return err
	}
	brought, err := s.Hikes.BringSignUps(r.Context(), h.ID, l.asks, s.Now(), func(ctx context.Context, added []hike.SignUp) ([]message.Mail, error) {
		var letters []placeLetter
		for _, p := range added {
			if mailBrought(r) {
				letters = append(letters, s.askedLetter(t.hike, p, secrets[p.ID]))
			}
		}
		return s.placeMails(ctx, t, letters...)
	})
	if err != nil {
		return err
	}
	if !hike.BroughtWhole(brought) {
		return s.renderSignUpPreview(w, r, t, l, brought, true)
	}
	return s.sayBrought(w, r, t, brought)
}

// mailBrought reports whether the people of a list are to be written to.
func mailBrought(r *http.Request) bool { return newForm(r).checked("mail") }

// acceptLines gives each request what the form gives it: a link of its own, and the version
// of the risks that was accepted. It returns the secrets by the numbers of the requests.
func (s *Server) acceptLines(r *http.Request, list []hike.SignUp) (map[string]account.Secret, error) {
	version, text := hike.RisksVersion()
	if err := s.Hikes.KeepRisks(r.Context(), version, text, s.Now()); err != nil {
		return nil, err
	}
	secrets := map[string]account.Secret{}
	for i := range list {
		secret, hash, err := account.NewLink(rand.Reader)
		if err != nil {
			return nil, err
		}
		secrets[list[i].ID] = secret
		list[i].Link, list[i].RiskVersion, list[i].RiskAccepted = hash[:], version, s.Now()
	}
	return secrets, nil
}

// sayBrought says what came of the list.
func (s *Server) sayBrought(w http.ResponseWriter, r *http.Request, t told, brought []hike.Brought) error {
	count := map[hike.SignUpState]int{}
	added, mail := 0, mailBrought(r)
	for _, b := range brought {
		if b.Added() {
			added++
			count[b.SignUp.State]++
		}
	}
	said := fmt.Sprintf("%s brought in: %d confirmed, %d with a talk first, %d waiting.", view.Count(added, "person", "people"), count[hike.Confirmed], count[hike.Asked], count[hike.Waiting])
	switch {
	case added == 0:
		said = "Nobody was brought in: all of them are on the hike already."
	case mail:
		said += " A letter goes to each of them."
	default:
		said += " No letter was sent."
	}
	return s.seeOther(w, r, managePath(t.hike.ID)+"#sign-ups", said)
}
