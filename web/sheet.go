package web

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

	"saltbush/internal/hike"
	"saltbush/internal/sheet"
	"saltbush/internal/text"
	"saltbush/web/view"
)

// House judgement: a preview is read and confirmed in one sitting.
const previewLife = time.Hour

// errPreview sends a person back to choose the file again.
var errPreview = errors.New("This preview is old, or was not made here. Choose the file again.")

// How a cell answers a question of a form.
type cellKind int

const (
	cellText cellKind = iota
	cellWord          // one of a few words, in small letters
	cellYes           // a question that has to be answered yes or no
	cellBox           // a box to tick: yes, or nothing
	cellList          // several words
)

// formColumn is a column of a table, and the field of a form that its cells fill.
type formColumn struct {
	sheet.Column
	field string // "" for what is written and not read
	kind  cellKind
	says  string // what stands in it, for people
}

func columnsOf(list []formColumn) []sheet.Column {
	out := make([]sheet.Column, len(list))
	for i, c := range list {
		out[i] = c.Column
	}
	return out
}

// values turns a line into what the form would have sent. What cannot be turned is left as
// it is: the form says what is wrong with it.
func values(list []formColumn, h sheet.Heads, row sheet.Row) url.Values {
	v := url.Values{}
	for _, c := range list {
		if c.field != "" {
			v[c.field] = c.kind.answers(h.Cell(row, c.Name))
		}
	}
	return v
}

func (k cellKind) answers(cell string) []string {
	cell = text.Paragraph(cell)
	low := strings.ToLower(cell)
	switch k {
	case cellWord:
		return []string{low}
	case cellYes, cellBox:
		return []string{answerOf(low, k)}
	case cellList:
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
		if k == cellBox {
			return ""
		}
		return "no"
	}
	return low
}

// faultsOf puts what a form finds wrong beside the cells that it came from.
func faultsOf(list []formColumn, h sheet.Heads, row sheet.Row, wrong error) []sheet.Fault {
	var invalid hike.Invalid
	if !errors.As(wrong, &invalid) {
		if wrong == nil {
			return nil
		}
		return []sheet.Fault{h.Fault(row, "", wrong.Error())}
	}
	var faults []sheet.Fault
	rest := hike.Invalid{}
	for field, message := range invalid {
		rest[field] = message
	}
	for _, c := range list {
		if message, is := rest[c.field]; is && c.field != "" {
			faults = append(faults, h.Fault(row, c.Name, message))
			delete(rest, c.field)
		}
	}
	if len(rest) > 0 {
		faults = append(faults, h.Fault(row, "", rest.Error()))
	}
	return faults
}

// badBoxes notes boxes that say neither yes nor no: the form would take anything for a tick.
func badBoxes(f form, list []formColumn) {
	for _, c := range list {
		if answer := f.text(c.field); c.kind == cellBox && answer != "" && answer != "yes" {
			f.faults.Add(c.field, "Write yes, no or nothing.")
		}
	}
}

// uploadedSheet returns the file that was chosen. It is held in memory, within the limits.
func uploadedSheet(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	limit := int64(sheet.DefaultLimits().Bytes)
	r.Body = http.MaxBytesReader(w, r.Body, limit+formExtra)
	if err := r.ParseMultipartForm(limit + formExtra); err != nil {
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

// confirmedSheet returns the file that travelled in a preview. It is the one that was
// previewed, by the same person, not long ago.
func (s *Server) confirmedSheet(w http.ResponseWriter, r *http.Request, what string) ([]byte, error) {
	r.Body = http.MaxBytesReader(w, r.Body, 2*int64(sheet.DefaultLimits().Bytes)+formExtra)
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

// carry puts a file into a preview, sealed.
func (s *Server) carry(r *http.Request, what string, data []byte) (view.CarriedFile, error) {
	stamp := strconv.FormatInt(s.Now().Unix(), 10)
	signature, err := s.sheetSignature(r, what, stamp, data)
	return view.CarriedFile{Table: base64.RawURLEncoding.EncodeToString(data), Seal: stamp + "." + signature}, err
}

// sheetSignature signs what a file is for, who previewed it and when (RFC 2104 HMAC).
func (s *Server) sheetSignature(r *http.Request, what, stamp string, data []byte) (string, error) {
	key, err := s.Hikes.FormKey(r.Context())
	if err != nil {
		return "", err
	}
	a, _ := viewerOf(r).Account()
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "table %s %d %s %x", what, a.ID, stamp, sha256.Sum256(data))
	return hex.EncodeToString(mac.Sum(nil)), nil
}

// sendSheet answers with a table to keep. Its name holds nobody's.
func sendSheet(w http.ResponseWriter, name string, head []string, rows [][]string) error {
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

// readAs says how a file was read.
func readAs(t sheet.Table) view.NoteText {
	n := view.NoteText{Title: fmt.Sprintf("Read as %s, divided by %s", t.Encoding, t.Separator.Words()), Text: "Look at letters with accents before you go on."}
	if t.Encoding.Guessed() {
		n.Kind = view.NoteCaution
		n.Text = "The encoding is a guess: the file does not say which it is. Look at letters with accents before you go on, or save the file as UTF-8."
	}
	return n
}

// unknownColumns names what nobody asks for.
func unknownColumns(h sheet.Heads) view.NoteText {
	if len(h.Unknown) == 0 {
		return view.NoteText{}
	}
	return view.NoteText{Kind: view.NoteCaution, Title: "Columns that are left out", Text: "Nothing is known by these names. If one of them matters, give it the name that the list of columns has.", Points: h.Unknown}
}

func faultWords(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		words = append(words, sentenceCase(f.Error()))
	}
	return words
}

// reasons are what is wrong with one line, whose number stands beside them.
func reasons(faults []sheet.Fault) []string {
	var words []string
	for _, f := range faults {
		f.Line = 0
		words = append(words, sentenceCase(f.Error()))
	}
	return words
}

func yesOr(yes bool, no string) string {
	if yes {
		return "yes"
	}
	return no
}
