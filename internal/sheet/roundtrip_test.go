package sheet_test

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"os/exec"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/sheet"
)

// trickyCells are texts that spreadsheets, readers and writers often get wrong.
func trickyCells() []string {
	return []string{
		"", " ", "  x ", "'", "''", "'x", "''x", "'=1", "''=1", "' =1", "=1+1", "=cmd|' /C calc'!A0", "+1 602-555-0144",
		"-5", "@sum(a)", "\t=1", "\r=1", "\n", "\r\n", "\ufeff=1",
		"\u200b+1", "\u00a0-1", "＝1", "'＋1", "－", "＠x", "a,b", "a;b", "a\tb", "a\"b", "\"", "\"\"", "\"a\"",
		"line\nline", "line\r\nline", "line\rline", "sep=;", "SEP=,", "sep=",
		"Zoë Peña", "Łódź", "砂", "𝔘", "\ufeff", "0012", "1e5", "12/1", "ID", "x'=1", "N/A", "a\u2028b",
	}
}

func anyCell() *rapid.Generator[string] {
	pieces := rapid.SampledFrom([]string{"'", "\"", ",", ";", "\t", "\r", "\n", " ", "=", "+", "-", "@", "＝", "＠",
		"\ufeff", "sep=", "a", "é", "砂", "1"})
	return rapid.OneOf(
		rapid.SampledFrom(trickyCells()),
		rapid.Map(rapid.SliceOfN(pieces, 0, 8), func(p []string) string { return strings.Join(p, "") }),
		rapid.Map(rapid.String(), func(s string) string { return strings.ReplaceAll(s, "\x00", "") }),
	)
}

// anyTable draws a header and rows of one width.
func anyTable(t *rapid.T) [][]string {
	width := rapid.IntRange(1, 6).Draw(t, "width")
	return rapid.SliceOfN(rapid.SliceOfN(anyCell(), width, width), 1, 12).Draw(t, "table")
}

func write(t interface{ Fatal(...any) }, table [][]string) []byte {
	var b bytes.Buffer
	if err := sheet.Write(&b, table[0], table[1:]); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func same(t *rapid.T, how string, want [][]string, data []byte) {
	got, err := sheet.Read(data, sheet.DefaultLimits())
	if err != nil {
		t.Fatalf("%s: %v", how, err)
	}
	if diff := cmp.Diff(want, cells(got)); diff != "" || len(got.Faults) > 0 {
		t.Fatalf("%s: faults %v; (-want +got)\n%s", how, got.Faults, diff)
	}
}

func TestReadsWhatItWrote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		table := anyTable(t)
		data := write(t, table)
		same(t, "as written", table, data)
		text := strings.TrimPrefix(string(data), "\ufeff")
		same(t, "UTF-16 little", table, utf16Bytes(binary.LittleEndian, text))
		same(t, "UTF-16 big", table, utf16Bytes(binary.BigEndian, text))
	})
}

func TestUnguardUndoesGuard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := anyCell().Draw(t, "cell")
		if got := sheet.Unguard(sheet.Guard(cell)); got != cell {
			t.Errorf("%q came back as %q from %q", cell, got, sheet.Guard(cell))
		}
	})
}

func TestGuard(t *testing.T) {
	for _, tt := range []struct {
		name, cell string
		guarded    bool
	}{
		{"formula", "=1+1", true}, {"plus", "+1 602", true}, {"minus", "-5", true}, {"at", "@x", true},
		{"space before", "  =1", true}, {"no-break space before", "\u00a0=1", true}, {"tab", "\tx", true},
		{"carriage return", "\rx", true}, {"line end", "\nx", true},
		{"full width", "＝1", true}, {"full-width plus", "＋1", true}, {"full-width minus", "－1", true},
		{"full-width at", "＠x", true},
		{"no width before", "\u200b=1", true}, {"mark before", "\ufeff=1", true}, {"control before", "\x01=1", true},
		{"apostrophe in the text", "'=1", true}, {"apostrophes and spaces", "' ' =1", true},
		{"word", "Ines", false}, {"apostrophe before a word", "'tis", false}, {"sign within", "a=1", false},
		{"empty", "", false}, {"apostrophe alone", "'", false}, {"number", "0012", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			want := tt.cell
			if tt.guarded {
				want = "'" + tt.cell
			}
			if got := sheet.Guard(tt.cell); got != want {
				t.Errorf("%q, want %q", got, want)
			}
		})
	}
}

// guarded returns a table as other readers see it, with the apostrophes. Package csv turns CR
// LF within a cell into LF.
func guarded(table [][]string, fold func(string) string) [][]string {
	var out [][]string
	for _, row := range table {
		var cells []string
		for _, c := range row {
			cells = append(cells, fold(sheet.Guard(c)))
		}
		out = append(out, cells)
	}
	return out
}

func TestPackageCSVReadsWhatItWrote(t *testing.T) {
	fold := func(s string) string { return strings.ReplaceAll(s, "\r\n", "\n") }
	rapid.Check(t, func(t *rapid.T) {
		table := anyTable(t)
		r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(write(t, table), []byte("\ufeff"))))
		got, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(guarded(table, fold), got); diff != "" {
			t.Fatalf("(-want +got)\n%s", diff)
		}
	})
}

const pythonReader = `
import csv, io, json, sys
text = sys.stdin.buffer.read().decode("utf-8-sig")
json.dump(list(csv.reader(io.StringIO(text, newline=""), strict=True)), sys.stdout)`

func TestPythonReadsWhatItWrote(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 on this machine")
	}
	table := [][]string{{"one", "=two", "three"}}
	for i, cell := range trickyCells() {
		table = append(table, []string{cell, trickyCells()[(i+7)%len(trickyCells())], "end"})
	}
	cmd := exec.Command(python, "-c", pythonReader)
	cmd.Stdin = bytes.NewReader(write(t, table))
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var got [][]string
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(guarded(table, func(s string) string { return s }), got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

const pythonWriter = `
import base64, csv, io, json, sys
table, dialects = json.load(sys.stdin)
files = []
for sep, end, quoting, enc in dialects:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=sep, lineterminator=end, quoting=quoting).writerows(table)
    files.append(base64.b64encode(out.getvalue().encode(enc)).decode())
json.dump(files, sys.stdout)`

// Python's files are read back in all its dialects.
func TestReadsWhatPythonWrites(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 on this machine")
	}
	table := [][]string{{"Name", "Where"}, {"Zoë; \"Jo\"", "a,b\nc\td"}, {"Peña", "x"}, {"'tis", "5 €"}}
	var dialects [][]any
	for _, sep := range []string{",", ";", "\t"} {
		for _, end := range []string{"\n", "\r\n"} {
			for quoting := range 2 { // few quotes, all quoted
				for _, enc := range []string{"utf-8", "utf-8-sig", "utf-16", "cp1252"} {
					dialects = append(dialects, []any{sep, end, quoting, enc})
				}
			}
		}
	}
	in, _ := json.Marshal([]any{table, dialects})
	cmd := exec.Command(python, "-c", pythonWriter)
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var files [][]byte
	if err := json.Unmarshal(out, &files); err != nil || len(files) != len(dialects) {
		t.Fatalf("%d files of %d dialects: %v", len(files), len(dialects), err)
	}
	for i, data := range files {
		got := read(t, data)
		if diff := cmp.Diff(table, cells(got)); diff != "" ||
			got.Separator != sheet.Separator(dialects[i][0].(string)[0]) {
			t.Errorf("%q: separated by %s (-want +got)\n%s", dialects[i], got.Separator.Words(), diff)
		}
	}
}

// Reading any bytes ends without a panic and within the limits, and the table can be written
// and read again.
func FuzzRead(f *testing.F) {
	for _, cell := range trickyCells() {
		f.Add([]byte("Name,Phone\n" + cell + ",1\n"))
		f.Add([]byte("sep=;\nName;Phone\n\"" + cell + "\";1\n"))
	}
	f.Add(utf16Bytes(binary.LittleEndian, "a;b\n1;2\n"))
	f.Add([]byte("a;b\n\xe9;\x80\n"))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		lim := sheet.Limits{Bytes: 1 << 16, Rows: 100, Columns: 50, Cell: 1 << 10}
		table, err := sheet.Read(data, lim)
		if err != nil {
			return
		}
		if len(table.Rows) > lim.Rows || len(table.Head) > lim.Columns {
			t.Fatalf("%d rows of %d cells", len(table.Rows), len(table.Head))
		}
		want := cells(table)
		if diff := cmp.Diff(want, cells(read(t, write(t, want)))); diff != "" {
			t.Errorf("(-want +got)\n%s", diff)
		}
	})
}
