package kit

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/sheet"
	"saltbush/internal/text"
	"saltbush/web/ui"
)

// House judgement: a preview is read and confirmed in one sitting.
const previewLife = time.Hour

// errPreview sends a person back to choose the file again.
var errPreview = errors.New("This preview is old, or was not made here. Choose the file again.")

// How a cell answers a question of a form.
type cellKind int

const (
	CellText cellKind = iota
	CellWord          // one of a few words, in small letters
	CellYes           // a question that has to be answered yes or no
	CellBox           // a box to tick: yes, or nothing
	CellList          // several words
)

// FormColumn is a column of a table, and the field of a form that its cells fill.
type FormColumn struct {
	sheet.Column
	Field string // "" for what is written and not read
	Kind  cellKind
	says  string // what stands in it, for people
}

func ColumnsOf(list []FormColumn) []sheet.Column {
	out := make([]sheet.Column, len(list))
	for i, c := range list {
		out[i] = c.Column
	}
	return out
}

// Values turns a line into what the form would have sent. What cannot be turned is left as
// it is: the form says what is wrong with it.
func Values(list []FormColumn, h sheet.Heads, row sheet.Row) url.Values {
	v := url.Values{}
	for _, c := range list {
		if c.Field != "" {
			v[c.Field] = c.Kind.Answers(h.Cell(row, c.Name))
		}
	}
	return v
}

// Answer is what a cell says, in one line, so that two cells can be compared.
func (c FormColumn) Answer(cell string) string {
	return text.Line(strings.Join(c.Kind.Answers(cell), "\n"))
}

func (k cellKind) Answers(cell string) []string {
	cell = text.Paragraph(cell)
	low := strings.ToLower(cell)
	switch k {
	case CellWord:
		return []string{low}
	case CellYes, CellBox:
		return []string{answerOf(low, k)}
	case CellList:
		var words []string
		for _, w := range strings.FieldsFunc(low, func(r rune) bool { return strings.ContainsRune(",;/|\n", r) }) {
			if w = strings.TrimSpace(w); w != "" {
				words = append(words, w)
			}
		}
		return words
	}
	return []string{cell}
}

// answerOf reads a yes and a no as people write them. A box that is not ticked is empty.
func answerOf(low string, k cellKind) string {
	switch low {
	case "yes", "y", "x", "true", "1":
		return "yes"
	case "no", "n", "false", "0", "-":
		if k == CellBox {
			return ""
		}
		return "no"
	}
	return low
}

// FaultsOf puts what a form finds wrong beside the cells that it came from.
func FaultsOf(list []FormColumn, h sheet.Heads, row sheet.Row, wrong error) []sheet.Fault {
	var invalid fault.Invalid
	if !errors.As(wrong, &invalid) {
		if wrong == nil {
			return nil
		}
		return []sheet.Fault{h.Fault(row, "", wrong.Error())}
	}
	var faults []sheet.Fault
	rest := fault.Invalid{}
	for field, message := range invalid {
		rest[field] = message
	}
	for _, c := range list {
		if message, is := rest[c.Field]; is && c.Field != "" {
			faults = append(faults, h.Fault(row, c.Name, message))
			delete(rest, c.Field)
		}
	}
	if len(rest) > 0 {
		faults = append(faults, h.Fault(row, "", rest.Error()))
	}
	return faults
}

// BadBoxes notes boxes that say neither yes nor no: the form would take anything for a tick.
func BadBoxes(f Form, list []FormColumn) {
	for _, c := range list {
		if answer := f.Text(c.Field); c.Kind == CellBox && answer != "" && answer != "yes" {
			f.Faults.Add(c.Field, "Write yes, no or nothing.")
		}
	}
}

// UploadedSheet returns the file that was chosen. It is held in memory, within the limits.
func UploadedSheet(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	limit := int64(sheet.DefaultLimits().Bytes)
	r.Body = http.MaxBytesReader(w, r.Body, limit+FormExtra)
	if err := r.ParseMultipartForm(limit + FormExtra); err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return nil, sheet.Fault{Reason: fmt.Sprintf("the file is too large; %d kB are taken at most", limit>>10)}
		}
		return nil, sheet.Fault{Reason: "choose a file"}
	}
	file, _, err := r.FormFile("file")
	if err != nil {
		return nil, sheet.Fault{Reason: "choose a file"}
	}
	defer file.Close()
	return io.ReadAll(file)
}

// ConfirmedSheet returns the file that travelled in a preview. It is the one that was
// previewed, by the same person, not long ago.
func (s *Kit) ConfirmedSheet(w http.ResponseWriter, r *http.Request, what string) ([]byte, error) {
	r.Body = http.MaxBytesReader(w, r.Body, 2*int64(sheet.DefaultLimits().Bytes)+FormExtra)
	if err := r.ParseForm(); err != nil {
		return nil, err
	}
	data, err := base64.RawURLEncoding.DecodeString(r.PostFormValue("table"))
	if err != nil {
		return nil, errPreview
	}
	stamp, signature, _ := strings.Cut(r.PostFormValue("seal"), ".")
	ours, err := s.sheetSignature(r, what, stamp, data)
	if err != nil {
		return nil, err
	}
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil || !hmac.Equal([]byte(signature), []byte(ours)) || s.Now().Sub(time.Unix(seconds, 0)) > previewLife {
		return nil, errPreview
	}
	return data, nil
}

// Carry puts a file into a preview, sealed.
func (s *Kit) Carry(r *http.Request, what string, data []byte) (ui.CarriedFile, error) {
	stamp := strconv.FormatInt(s.Now().Unix(), 10)
	signature, err := s.sheetSignature(r, what, stamp, data)
	return ui.CarriedFile{Table: base64.RawURLEncoding.EncodeToString(data), Seal: stamp + "." + signature}, err
}

// sheetSignature signs what a file is for, who previewed it and when (RFC 2104 HMAC).
func (s *Kit) sheetSignature(r *http.Request, what, stamp string, data []byte) (string, error) {
	key, err := s.hikes.FormKey(r.Context())
	if err != nil {
		return "", err
	}
	a, _ := ViewerOf(r).Account()
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "table %s %d %s %x", what, a.ID, stamp, sha256.Sum256(data))
	return hex.EncodeToString(mac.Sum(nil)), nil
}

// SendSheet answers with a table to keep. Its name holds nobody's.
func SendSheet(w http.ResponseWriter, name string, head []string, rows [][]string) error {
	var b bytes.Buffer
	if err := sheet.Write(&b, head, rows); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`.csv"`)
	w.Header().Set("Cache-Control", "no-store")
	_, err := b.WriteTo(w)
	return err
}

// ReadAs says how a file was read.
func ReadAs(t sheet.Table) ui.NoteText {
	n := ui.NoteText{Title: fmt.Sprintf("Read as %s, divided by %s", t.Encoding, t.Separator.Words()), Text: "Look at letters with accents before you go on."}
	if t.Encoding.Guessed() {
		n.Kind = ui.NoteCaution
		n.Text = "The encoding is a guess: the file does not say which it is. Look at letters with accents before you go on, or save the file as UTF-8."
	}
	return n
}

// UnknownColumns names what nobody asks for.
func UnknownColumns(h sheet.Heads) ui.NoteText {
	if len(h.Unknown) == 0 {
		return ui.NoteText{}
	}
	return ui.NoteText{Kind: ui.NoteCaution, Title: "Columns that are left out", Text: "Nothing is known by these names. If one of them matters, give it the name that the list of columns has.", Points: h.Unknown}
}

func FaultWords(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		words = append(words, format.SentenceCase(f.Error()))
	}
	return words
}

// Reasons are what is wrong with one line, whose number stands beside them.
func Reasons(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		f.Line = 0
		words = append(words, format.SentenceCase(f.Error()))
	}
	return words
}

func YesOr(yes bool, no string) string {
	if yes {
		return "yes"
	}
	return no
}

func SheetFile(wrong error) ui.Field {
	f := ui.Field{Name: "file", Label: "The file", Hint: "CSV, as spreadsheets save it."}
	if wrong != nil {
		f.Error = format.SentenceCase(wrong.Error())
	}
	return f
}

func ColumnLines(list []FormColumn) []format.Line {
	var lines []format.Line
	for _, c := range list {
		if c.Field == "" {
			continue
		}
		l := format.Line{Label: c.Name, Value: c.says}
		if c.Needed {
			l.Note = "needed"
		}
		lines = append(lines, l)
	}
	return lines
}

// BadSheet shows a form again where the file is at fault; any other error is ours.
func (s *Kit) BadSheet(err error, again func(error) error) error {
	var fault sheet.Fault
	if errors.As(err, &fault) || errors.Is(err, errPreview) {
		return again(err)
	}
	return err
}

// BadLines are lines that do not fit the head of their file.
func BadLines(t sheet.Table) (lines []ui.SheetLine) {
	for _, f := range t.Faults {
		lines = append(lines, ui.SheetLine{At: strconv.Itoa(f.Line), Order: f.Line, Stamp: ui.SheetRefused(), Says: Reasons([]sheet.Fault{f})})
	}
	return lines
}

// LineAt is the place of a row in words.
func LineAt(r sheet.Row) string {
	if r.Line == r.Number {
		return strconv.Itoa(r.Line)
	}
	return fmt.Sprintf("%d, row %d of a spreadsheet", r.Line, r.Number)
}

func Column(name, field string, kind cellKind, says string, also ...string) FormColumn {
	return FormColumn{Column: sheet.Column{Name: name, Also: also}, Field: field, Kind: kind, says: says}
}

func Needed(c FormColumn) FormColumn {
	c.Needed = true
	return c
}
