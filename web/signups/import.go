package signups

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/sheet"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// SaveSignUps answers with the people of a hike as a table, as far as the viewer may see them. It
// contains nothing about health and no answers for the talk.
func (s *Handlers) SaveSignUps(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	list, err := s.Hikes.SignUps(r.Context(), h.ID)
	if err != nil {
		return err
	}
	var columns []signUpColumn
	visible := s.StaffVisibility(r, h)
	for _, c := range signUpColumns() {
		if c.Write != nil && visible.CanSee(c.kind) {
			columns = append(columns, c)
		}
	}
	head, rows := []string{}, [][]string{}
	for _, c := range columns {
		head = append(head, c.Name)
	}
	for _, x := range list {
		if x.State == signup.Withdrawn || x.State == signup.TurnedAway {
			continue
		}
		row := make([]string, len(columns))
		for i, c := range columns {
			row[i] = c.Write(Answers{SignUp: x})
		}
		rows = append(rows, row)
	}
	return kit.SendSheet(w, fmt.Sprintf("sign-ups-hike-%d-%s", h.ID, unit.DateOf(h.Start)), head, rows)
}

// DownloadColumns answers with a table of nothing but the heads that can be imported.
func (s *Handlers) DownloadColumns(w http.ResponseWriter, _ *http.Request) error {
	return kit.SendSheet(w, "columns-of-sign-ups", signUpTable().Read(), nil)
}

// ShowImport asks for a table of sign-ups.
func (s *Handlers) ShowImport(w http.ResponseWriter, r *http.Request) error {
	return s.renderImport(w, r, http.StatusOK, nil)
}

func (s *Handlers) renderImport(w http.ResponseWriter, r *http.Request, status int, wrong error) error {
	t, err := s.loadForTalks(r) // the table has answers for the talk
	if err != nil {
		return err
	}
	if !t.Hike.TakesSignUps(s.Now()) {
		return fault.Refusal("This hike no longer takes sign-ups.")
	}
	version, _ := signup.RisksVersion()
	p := ui.SheetPage{Page: s.Page(r, "Bring in sign-ups", "Desk"),
		Over: t.Hike.Title + ", " + format.Day(t.Hike.Start, t.Zone()),
		URL:  paths.Sheet(t.Hike.ID), BackURL: paths.Manage(t.Hike.ID) + "#sign-ups",
		HeadsURL: paths.Sheet(t.Hike.ID) + "/columns.csv",
		Says: []string{
			"One line for each person. The rules are those of the form: a talk first where there is something to " +
				"talk over, and the waiting list when the places are gone.",
			"The whole list comes in, or nothing of it. Before that you see every line.",
			"Whoever is on the hike already is left as they are, so a list may be brought in again.",
			"No letter goes out unless you ask for it. Their contacts are asked three days before the hike, as " +
				"everybody's are.",
		},
		Columns: signUpTable().Lines(), Risks: signup.Risks(),
		Version: "Version " + version + ". It is kept that you brought these people in, and when."}
	p.File = kit.SheetFile(wrong)
	return s.Render(w, r, status, ui.Sheet(p))
}

// importedLines is a table of sign-ups with its faults, before the rules of the hike are applied.
type importedLines struct {
	data       []byte
	table      sheet.Table
	heads      sheet.Heads
	faults     []sheet.Fault // of the head
	rows       []sheet.Row
	lineFaults [][]sheet.Fault // by line
	signUps    []signup.SignUp
}

// readLines reads every line in the way the form is read.
func (s *Handlers) readLines(r *http.Request, t hike.Data, data []byte) (importedLines, error) {
	l := importedLines{data: data}
	var err error
	if l.table, err = sheet.Read(data, sheet.DefaultLimits()); err != nil {
		return l, err
	}
	columns := signUpTable()
	l.heads, l.faults = l.table.Match(columns.Heads())
	for _, row := range l.table.Rows {
		if row.Blank() {
			continue
		}
		p, wrong, err := s.readLine(r, t, columns, l.heads, row)
		if err != nil {
			return l, err
		}
		l.rows, l.signUps, l.lineFaults = append(l.rows, row), append(l.signUps, p), append(l.lineFaults, wrong)
	}
	if len(l.rows)+len(l.table.Faults) == 0 {
		l.faults = append(l.faults, sheet.Fault{Reason: "there is nobody in the file"})
	}
	return l, nil
}

func (s *Handlers) readLine(r *http.Request, t hike.Data, columns kit.Columns[Answers], heads sheet.Heads,
	row sheet.Row) (signup.SignUp, []sheet.Fault, error) {
	typed := columns.Values(heads, row)
	for field, usual := range map[string]string{"walk_unit": "km", "climb_unit": "m"} {
		if typed.Get(field) == "" {
			typed.Set(field, usual)
		}
	}
	f := kit.FormOf(typed)
	columns.CheckBoxes(f)
	checkUnits(f)
	p, _ := s.readSignUp(f, t)
	p.ImportedBy = kit.NameOf(r)
	invalid, err := f.Invalid(p.Check(signup.RegionOf(t.Trail.Zone)))
	if err != nil {
		return p, nil, err
	}
	p.Screening.Talk = signup.TalkFirst(p, t.Trail, t.Plan, t.Hike.Rules())
	if invalid == nil {
		return p, nil, nil
	}
	return p, columns.Faults(heads, row, invalid), nil
}

// checkUnits adds a fault for units that the form does not offer.
func checkUnits(f kit.Form) {
	if u := f.Text("walk_unit"); u != "km" && u != "mi" {
		f.Faults.Add("walk_unit", "Write km or mi.")
	}
	if u := f.Text("climb_unit"); u != "m" && u != "ft" {
		f.Faults.Add("climb_unit", "Write m or ft.")
	}
}

// valid returns the sign-ups without a fault.
func (l importedLines) valid() (list []signup.SignUp) {
	for i, p := range l.signUps {
		if len(l.lineFaults[i]) == 0 {
			list = append(list, p)
		}
	}
	return list
}

// complete reports whether there is no fault so far.
func (l importedLines) complete() bool {
	return len(l.faults)+len(l.table.Faults) == 0 && len(l.valid()) == len(l.signUps)
}

// PreviewImport shows what would become of each line. It stores nothing.
func (s *Handlers) PreviewImport(w http.ResponseWriter, r *http.Request) error {
	data, err := kit.UploadedSheet(w, r)
	if err != nil {
		return s.renderImport(w, r, http.StatusUnprocessableEntity, err)
	}
	t, err := s.loadForTalks(r)
	if err != nil {
		return err
	}
	l, err := s.readLines(r, t, data)
	if err != nil {
		return s.BadSheet(err, func(e error) error { return s.renderImport(w, r, http.StatusUnprocessableEntity, e) })
	}
	return s.renderPreview(w, r, t, l, t.Hike.Import(l.valid(), t.SignUps, s.Now()), false)
}

func (s *Handlers) renderPreview(w http.ResponseWriter, r *http.Request, t hike.Data, l importedLines,
	rows []hike.ImportRow, again bool) error {
	p := ui.SheetPreview{Page: s.Page(r, "Bring in sign-ups", "Desk"),
		Over: t.Hike.Title + ", " + format.Day(t.Hike.Start, t.Zone()),
		URL:  paths.Sheet(t.Hike.ID) + "/confirm", BackURL: paths.Sheet(t.Hike.ID), ReadAs: kit.ReadAs(l.table),
		Unknown: kit.UnknownColumns(l.heads),
		Faults:  kit.FaultWords(l.faults),
		Mail:    ui.Field{Name: "mail", Label: "Write to each of them, with the link to their place.", Optional: true}}
	if again {
		p.Again = ui.NoteText{Kind: ui.NoteCaution, Title: "Nothing was brought in",
			Text: "Something has changed since the preview. This is how it stands now."}
	}
	status := http.StatusOK
	p.Lines, p.New = previewLines(t, l, rows)
	if !l.complete() || !hike.ImportedWhole(rows) {
		status = http.StatusUnprocessableEntity
		p.Refused = true
	}
	var err error
	if p.File, err = s.Carry(r, sheetPurpose(t.Hike.ID), l.data); err != nil {
		return err
	}
	return s.Render(w, r, status, ui.SheetPreviewed(p))
}

func sheetPurpose(id ref.Hike) string { return fmt.Sprintf("sign-ups %d", id) }

// previewLines stamps each line and counts the new ones.
func previewLines(t hike.Data, l importedLines, rows []hike.ImportRow) (lines []ui.SheetLine, added int) {
	next := 0
	for i, row := range l.rows {
		line := ui.SheetLine{At: kit.LineAt(row), Order: row.Line, Name: l.signUps[i].Name}
		if len(l.lineFaults[i]) > 0 {
			line.Stamp, line.Says = ui.SheetRefused(), kit.Reasons(l.lineFaults[i])
			lines = append(lines, line)
			continue
		}
		b := rows[next]
		next++
		switch {
		case b.Here:
			line.Stamp, line.Says = ui.SheetHere(), []string{"On this hike already; left as it is."}
		case b.Wrong != nil:
			line.Stamp, line.Says = ui.SheetRefused(), kit.Reasons(signUpTable().Faults(l.heads, row, b.Wrong))
		default:
			added++
			line.Stamp = ui.StampOf(string(b.SignUp.State))
			line.Says = previewNotes(t, b.SignUp)
		}
		lines = append(lines, line)
	}
	return ui.WithBadLines(lines, kit.BadLines(l.table)), added
}

func previewNotes(t hike.Data, p signup.SignUp) []string {
	says := []string{}
	if p.State == signup.Asked {
		says = append(says, "A talk first.")
		if until := hike.Held(t.Hike, p); until != "" {
			says = append(says, "A place is kept until "+until+".")
		}
	}
	return says
}

// ConfirmImport stores a table that was previewed: all of it or nothing.
func (s *Handlers) ConfirmImport(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	data, err := s.ConfirmedSheet(w, r, sheetPurpose(h.ID))
	if err != nil {
		return s.BadSheet(err, func(e error) error { return s.renderImport(w, r, http.StatusUnprocessableEntity, e) })
	}
	t, err := s.loadForTalks(r)
	if err != nil {
		return err
	}
	l, err := s.readLines(r, t, data)
	if err != nil {
		return err // it was read without error before
	}
	if !l.complete() {
		return s.renderPreview(w, r, t, l, h.Import(l.valid(), t.SignUps, s.Now()), true)
	}
	secrets, err := s.prepareImport(r, l.signUps)
	if err != nil {
		return err
	}
	rows, err := s.Hikes.ImportSignUps(r.Context(), h.ID, l.signUps, s.Now(),
		func(ctx context.Context, added []signup.SignUp) ([]message.Mail, error) {
			var letters []notify.PlaceLetter
			for _, p := range added {
				if mailsImported(r) {
					letters = append(letters, s.notify.AskedLetter(t.Hike, p, secrets[p.ID]))
				}
			}
			return s.notify.PlaceMails(ctx, t, letters...)
		})
	if err != nil {
		return err
	}
	if !hike.ImportedWhole(rows) {
		return s.renderPreview(w, r, t, l, rows, true)
	}
	return s.importDone(w, r, t, rows)
}

// mailsImported reports whether the imported people get a mail.
func mailsImported(r *http.Request) bool { return kit.NewForm(r).Checked("mail") }

// prepareImport gives each sign-up a link and the accepted version of the risks, as the form does.
// It returns the links' secrets by the IDs of the sign-ups.
func (s *Handlers) prepareImport(r *http.Request, list []signup.SignUp) (map[string]account.Secret, error) {
	version, text := signup.RisksVersion()
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

// importDone says what was imported.
func (s *Handlers) importDone(w http.ResponseWriter, r *http.Request, t hike.Data, rows []hike.ImportRow) error {
	count := map[signup.State]int{}
	added, mail := 0, mailsImported(r)
	for _, b := range rows {
		if b.Added() {
			added++
			count[b.SignUp.State]++
		}
	}
	said := fmt.Sprintf("%s brought in: %d confirmed, %d with a talk first, %d waiting.",
		format.Count(added, "person", "people"), count[signup.Confirmed], count[signup.Asked], count[signup.Waiting])
	switch {
	case added == 0:
		said = "Nobody was brought in: all of them are on the hike already."
	case mail:
		said += " A letter goes to each of them."
	default:
		said += " No letter was sent."
	}
	return s.SeeOther(w, r, paths.Manage(t.Hike.ID)+"#sign-ups", said)
}
