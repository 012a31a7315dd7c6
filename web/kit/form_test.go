package kit_test

import (
	"net/url"
	"testing"

	"saltbush/web/kit"
)

func TestFormCleansWhatIsTyped(t *testing.T) {
	typed := " one\u202e \u00a0line\x00\r\n and\u200b another\n"
	f := kit.FormOf(url.Values{"field": {typed}, "unseen": {"\u200b\u3164\r\n"}})
	for name, got := range map[string][2]string{
		"one line":                    {f.Text("field"), "one line and another"},
		"several lines":               {f.Paragraph("field"), "one  line\n and another"},
		"nothing to see in a line":    {f.Text("unseen"), ""},
		"nothing to see in lines":     {f.Paragraph("unseen"), ""},
		"a field that was not filled": {f.Text("none"), ""},
	} {
		if got[0] != got[1] {
			t.Errorf("%s: %+q, want %+q", name, got[0], got[1])
		}
	}
}

// Cells are compared as they would be stored: hidden characters of a spreadsheet make no
// difference.
func TestAnswersOfCellsAreCompared(t *testing.T) {
	words, list := kit.Column[string]{Cell: kit.CellText}, kit.Column[string]{Cell: kit.CellList}
	for _, tt := range []struct {
		name string
		kind kit.Column[string]
		a, b string
		same bool
	}{
		{"hidden characters and spaces", words, "Ines\u200b  Calder ", "Ines Calder", true},
		{"another name", words, "Ines Calder", "Ines Caldera", false},
		{"a list in one line or several", list, "Leader\ntrainer", "leader, trainer", true},
		{"a shorter list", list, "leader", "leader, trainer", false},
		{"a box", kit.Column[string]{Cell: kit.CellBox}, "x", "Yes", true},
	} {
		if same := tt.kind.Answer(tt.a) == tt.kind.Answer(tt.b); same != tt.same {
			t.Errorf("%s: %q and %q: same %v", tt.name, tt.a, tt.b, same)
		}
	}
}
