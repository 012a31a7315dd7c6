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
	"strconv"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/sheet"
	"saltbush/web/ui"
)

// Our judgment: a preview is read and confirmed in one sitting.
const previewLife = time.Hour

// errPreview asks a person to choose the file again.
const errPreview = fault.Refusal("This preview is old, or was not made here. Choose the file again.")

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

// ConfirmedSheet returns the file that came back with a preview. Its signature proves that the same
// person previewed it not long ago.
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

// Carry puts a file into a preview, signed.
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

// SendSheet answers with a table to download. The file's name contains no person's name.
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
	n := ui.NoteText{Title: fmt.Sprintf("Read as %s, divided by %s",
		t.Encoding, t.Separator.Words()), Text: "Look at letters with accents before you go on."}
	if t.Encoding.Guessed() {
		n.Kind = ui.NoteCaution
		n.Text = "The encoding is a guess: the file does not say which it is. Look at letters with accents before " +
			"you go on, or save the file as UTF-8."
	}
	return n
}

// UnknownColumns lists the columns that no form asks for.
func UnknownColumns(h sheet.Heads) ui.NoteText {
	if len(h.Unknown) == 0 {
		return ui.NoteText{}
	}
	return ui.NoteText{Kind: ui.NoteCaution, Title: "Columns that are left out",
		Text: "Nothing is known by these names. " +
			"If one of them matters, give it the name that the list of columns has.",
		Points: h.Unknown}
}

// FaultWords lists what is wrong with the head of a file.
func FaultWords(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		words = append(words, format.SentenceCase(f.Error()))
	}
	return words
}

// Reasons lists what is wrong with one line. The page shows the line's number beside them.
func Reasons(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		f.Line = 0
		words = append(words, format.SentenceCase(f.Error()))
	}
	return words
}

// YesOr returns "yes", or the other word where yes is false.
func YesOr(yes bool, no string) string {
	if yes {
		return "yes"
	}
	return no
}

// SheetFile asks for a file, with what is wrong with the last one.
func SheetFile(wrong error) ui.Field {
	f := ui.Field{Name: "file", Label: "The file", Hint: "CSV, as spreadsheets save it."}
	if wrong != nil {
		f.Error = format.SentenceCase(wrong.Error())
	}
	return f
}

// BadSheet shows the form again where the file is at fault. It returns any other error.
func (s *Kit) BadSheet(err error, again func(error) error) error {
	var fault sheet.Fault
	if errors.As(err, &fault) || errors.Is(err, errPreview) {
		return again(err)
	}
	return err
}

// BadLines lists the lines that do not fit the head of their file.
func BadLines(t sheet.Table) (lines []ui.SheetLine) {
	for _, f := range t.Faults {
		lines = append(lines, ui.SheetLine{At: strconv.Itoa(f.Line), Order: f.Line, Stamp: ui.SheetRefused(),
			Says: Reasons([]sheet.Fault{f})})
	}
	return lines
}

// LineAt says where a row is: its line in the file and, where it differs, its row in a spreadsheet.
func LineAt(r sheet.Row) string {
	if r.Line == r.Number {
		return strconv.Itoa(r.Line)
	}
	return fmt.Sprintf("%d, row %d of a spreadsheet", r.Line, r.Number)
}
