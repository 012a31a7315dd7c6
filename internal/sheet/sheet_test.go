package sheet_test

import (
	"encoding/binary"
	"errors"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/sheet"
)

func utf16Bytes(order binary.ByteOrder, text string) []byte {
	b := make([]byte, 2)
	order.PutUint16(b, 0xfeff)
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, 0, 0)
		order.PutUint16(b[len(b)-2:], u)
	}
	return b
}

func read(t *testing.T, data []byte) sheet.Table {
	t.Helper()
	table, err := sheet.Read(data, sheet.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func cells(t sheet.Table) [][]string {
	list := [][]string{t.Head}
	for _, r := range t.Rows {
		list = append(list, r.Cells)
	}
	return list
}

func TestReadsFilesOfSpreadsheets(t *testing.T) {
	plain := [][]string{{"Name", "Phone"}, {"Ines", "1"}}
	for _, tt := range []struct {
		name, text string
		sep        sheet.Separator
		want       [][]string
	}{
		{"commas", "Name,Phone\nInes,1\n", sheet.Comma, plain},
		{"semicolons", "Name;Phone\nInes;1\n", sheet.Semicolon, plain},
		{"tabs", "Name\tPhone\nInes\t1\n", sheet.Tab, plain},
		{"CR LF", "Name,Phone\r\nInes,1\r\n", sheet.Comma, plain},
		{"CR", "Name,Phone\rInes,1\r", sheet.Comma, plain},
		{"no line end at the end", "Name,Phone\nInes,1", sheet.Comma, plain},
		{"a hint", "sep=;\r\nName;Phone\r\nInes;1\r\n", sheet.Semicolon, plain},
		{"a hint within quotes is a heading", "\"sep=;\"\na\n", sheet.Comma, [][]string{{"sep=;"}, {"a"}}},
		{"empty lines", "\n\nName,Phone\n\nInes,1\n\n", sheet.Comma, plain},
		{"all in quotes", "\"Name\",\"Phone\"\n\"Ines\",\"1\"\n", sheet.Comma, plain},
		{"separator, quote and line end in a cell", "Name,Phone\n\"a,\"\"b\"\"\r\nc\",1\n",
			sheet.Comma, [][]string{{"Name", "Phone"}, {"a,\"b\"\r\nc", "1"}}},
		{"quote within an unquoted cell", "Name,Phone\nInes \"Jo\" C,1\n",
			sheet.Comma, [][]string{{"Name", "Phone"}, {"Ines \"Jo\" C", "1"}}},
		{"commas in cells of a file with semicolons", "Name;Phone, mobile\nCalder, Ines;1\nReyes;2\n",
			sheet.Semicolon, [][]string{{"Name", "Phone, mobile"}, {"Calder, Ines", "1"}, {"Reyes", "2"}}},
		{"semicolons in quotes of a file with commas", "Name,\"a;b;c\"\nInes,\"1;2;3\"\n",
			sheet.Comma, [][]string{{"Name", "a;b;c"}, {"Ines", "1;2;3"}}},
		{"one column", "Name\nInes\n", sheet.Comma, [][]string{{"Name"}, {"Ines"}}},
		{"missing cells at the end", "Name,Phone,Role\nInes\n",
			sheet.Comma, [][]string{{"Name", "Phone", "Role"}, {"Ines", "", ""}}},
		{"extra empty cells at the end", "Name,Phone\nInes,1,,\n", sheet.Comma, plain},
		{"apostrophe before a formula", "Name,Phone\n'=1+1,'+1 602\n",
			sheet.Comma, [][]string{{"Name", "Phone"}, {"=1+1", "+1 602"}}},
		{"apostrophe that belongs to the text", "Name,Phone\n'tis,''\n", sheet.Comma,
			[][]string{{"Name", "Phone"}, {"'tis", "''"}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := read(t, []byte(tt.text))
			if diff := cmp.Diff(tt.want, cells(got)); diff != "" || len(got.Faults) > 0 {
				t.Errorf("faults %v; (-want +got)\n%s", got.Faults, diff)
			}
			if got.Separator != tt.sep || got.Encoding != sheet.UTF8 {
				t.Errorf("separated by %s in %s, want %s", got.Separator.Words(), got.Encoding, tt.sep.Words())
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	const text = "Name;Ort\r\nZoë Peña;\"Łódź\n𝔘 砂\"\r\n"
	want := [][]string{{"Name", "Ort"}, {"Zoë Peña", "Łódź\n𝔘 砂"}}
	for _, tt := range []struct {
		name string
		data []byte
		enc  sheet.Encoding
		want [][]string
	}{
		{"UTF-8", []byte(text), sheet.UTF8, want},
		{"UTF-8 with its mark", []byte("\ufeff" + text), sheet.UTF8, want},
		{"UTF-16 little", utf16Bytes(binary.LittleEndian, text), sheet.UTF16Little, want},
		{"UTF-16 big", utf16Bytes(binary.BigEndian, text), sheet.UTF16Big, want},
		// WHATWG Encoding Standard, index windows-1252: 0x80 euro, 0x92 right quote, 0xeb e with
		// dots, 0xf1 n with tilde.
		{"Windows-1252", []byte("Name;Ort\r\nZo\xeb Pe\xf1a;5 \x80, it\x92s\r\n"), sheet.Windows1252,
			[][]string{{"Name", "Ort"}, {"Zoë Peña", "5 €, it’s"}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := read(t, tt.data)
			if diff := cmp.Diff(tt.want, cells(got)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if got.Encoding != tt.enc || got.Encoding.Guessed() != (tt.enc == sheet.Windows1252) {
				t.Errorf("read as %s, guessed %v; want %s", got.Encoding, got.Encoding.Guessed(), tt.enc)
			}
		})
	}
}

func TestRefuses(t *testing.T) {
	small := sheet.Limits{Bytes: 200, Rows: 2, Columns: 4, Cell: 10}
	for _, tt := range []struct {
		name, text string
		want       sheet.Fault // Reason is a part of the reason
	}{
		{"empty", "", sheet.Fault{Reason: "empty"}},
		{"only empty lines", "\r\n\n", sheet.Fault{Reason: "empty"}},
		{"only a mark", "\ufeff", sheet.Fault{Reason: "empty"}},
		{"too many bytes", strings.Repeat("a,b\n", 51), sheet.Fault{Reason: "204 bytes"}},
		{"too many rows", "a\n1\n2\n3\n", sheet.Fault{Line: 4, Reason: "more than 2 rows"}},
		{"too many columns", "a\n1,2,3,4,5\n", sheet.Fault{Line: 2, Reason: "more than 4 columns"}},
		{"cell too long", "a,b\n1,12345678901\n", sheet.Fault{Line: 2, Column: 2, Reason: "longer than 10"}},
		{"quote never closed", "a,b\n1,2\n3,\"4\n5,6\n", sheet.Fault{Line: 3, Column: 2, Reason: "never closed"}},
		{"text after the closing quote", "a,b\n\"x\ny\"z,2\n",
			sheet.Fault{Line: 3, Column: 1, Reason: "after the closing quote"}},
		{"a native spreadsheet file", "PK\x03\x04", sheet.Fault{Reason: "save it as CSV"}},
		{"an older one", "\xd0\xcf\x11\xe0\xa1", sheet.Fault{Reason: "save it as CSV"}},
		{"zero bytes", "a\nb\x00\n", sheet.Fault{Line: 2, Reason: "zero byte"}},
		{"UTF-32", "\xff\xfe\x00\x00a\x00\x00\x00", sheet.Fault{Reason: "UTF-32"}},
		{"marked as UTF-8, but not UTF-8", "\ufeffa\n\xe9\n", sheet.Fault{Line: 2, Reason: "0xe9"}},
		{"UTF-16 cut short", "\xff\xfea\x00b", sheet.Fault{Reason: "cut in two"}},
		{"half a pair of UTF-16", "\xff\xfea\x00\n\x00\x00\xd8b\x00", sheet.Fault{Line: 2, Reason: "half a letter"}},
		{"half a pair at the end", "\xff\xfea\x00\x00\xd8", sheet.Fault{Line: 1, Reason: "half a letter"}},
		{"not Windows-1252 either", "a\r\nb\r\n\x81\r\n", sheet.Fault{Line: 3, Reason: "0x81"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := sheet.Read([]byte(tt.text), small)
			var got sheet.Fault
			if !errors.As(err, &got) || got.Line != tt.want.Line || got.Column != tt.want.Column ||
				!strings.Contains(got.Reason, tt.want.Reason) {
				t.Errorf("%#v, want %#v", err, tt.want)
			}
		})
	}
}

// A line with too many cells is refused; the lines around it are read.
func TestLinesThatDoNotFit(t *testing.T) {
	got := read(t, []byte("a,b\n1,2\n\"x\ny\",2,3\n4,5\n"))
	want := [][]string{{"a", "b"}, {"1", "2"}, {"4", "5"}}
	if diff := cmp.Diff(want, cells(got)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if len(got.Faults) != 1 || got.Faults[0].Line != 3 || got.Faults[0].Column != 3 {
		t.Fatalf("%v, want one at line 3, column 3", got.Faults)
	}
	if last := got.Rows[1]; last.Line != 5 || last.Number != 4 {
		t.Errorf("the last row is at line %d, number %d; want 5 and 4", last.Line, last.Number)
	}
}

func TestMatchesColumns(t *testing.T) {
	columns := []sheet.Column{{Name: "Name", Needed: true},
		{Name: "E-mail", Also: []string{"Mail address"}, Needed: true}, {Name: "Walk, km"}}
	for _, tt := range []struct {
		name, text string
		faults     []string
		unknown    []string
	}{
		{"exact", "Name,E-mail,\"Walk, km\"\n", nil, nil},
		{"case, spaces and punctuation", "\" NAME \",email,walk_km\n", nil, nil},
		{"by another name", "Name,mail address\n", nil, nil},
		{"unknown", "Name,E-mail,Shoe size,Name of dog\n", nil, []string{"Shoe size", "Name of dog"}},
		{"twice", "Name,E-mail,name\n", []string{"column 3 (name): this column stands twice: column 1 is the same"},
			nil},
		{"twice by another name", "Name,E-mail,mail address\n",
			[]string{"column 3 (mail address): this column stands twice: column 2 is the same"}, nil},
		{"unknown and twice", "Name,E-mail,Dog,dog\n",
			[]string{"column 4 (dog): this column stands twice: column 3 is the same"}, []string{"Dog"}},
		{"missing", "Name\n", []string{`there is no column "E-mail"`}, nil},
		{"without a name", "Name,E-mail,,\nInes,i@example.org,,x\n", nil, []string{"column 4, which has no name"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h, faults := read(t, []byte(tt.text)).Match(columns)
			var got []string
			for _, f := range faults {
				got = append(got, f.Error())
			}
			if diff := cmp.Diff(tt.faults, got); diff != "" {
				t.Errorf("faults (-want +got)\n%s", diff)
			}
			if diff := cmp.Diff(tt.unknown, h.Unknown); diff != "" {
				t.Errorf("unknown (-want +got)\n%s", diff)
			}
		})
	}
}

func TestCellsAndFaultsByName(t *testing.T) {
	table := read(t, []byte("b;Name\n\"1\n2\";Ines\nx;Jo\n"))
	h, _ := table.Match([]sheet.Column{{Name: "Name"}, {Name: "Age"}})
	row := table.Rows[1]
	if got := h.Cell(row, "Name"); got != "Jo" {
		t.Errorf("Name is %q", got)
	}
	if h.Cell(row, "Age") != "" {
		t.Error("a column that is not there has a cell")
	}
	for want, f := range map[string]sheet.Fault{
		"line 4, column 2 (Name): too short":    h.Fault(row, "Name", "too short"),
		`line 4: no column "Age": say which`:    h.Fault(row, "Age", "say which"),
		"line 4: is on this hike already":       h.Fault(row, "", "is on this hike already"),
		"the file has too few letters":          {Reason: "the file has too few letters"},
		"column 2: something":                   {Column: 2, Reason: "something"},
		"line 7, column 2: a quote is not shut": {Line: 7, Column: 2, Reason: "a quote is not shut"},
	} {
		if f.Error() != want {
			t.Errorf("%q, want %q", f.Error(), want)
		}
	}
}

// Spreadsheets leave rows and headings behind that look empty.
func TestInvisibleRowsAndHeads(t *testing.T) {
	table := read(t, []byte("Name,\u200b,Phone\nInes,,1\n\u00a0,,\u200b\u3164\n"))
	if len(table.Rows) != 2 || table.Rows[0].Blank() || !table.Rows[1].Blank() {
		t.Errorf("rows %+v: want the second blank", table.Rows)
	}
	heads, faults := table.Match([]sheet.Column{{Name: "Name"}, {Name: "Phone"}})
	if len(faults) != 0 || len(heads.Unknown) != 0 {
		t.Errorf("faults %v, unknown %q; want none", faults, heads.Unknown)
	}
}
