package ui

import (
	"sort"

	"saltbush/internal/format"
)

// SheetPage asks for a table of people.
type SheetPage struct {
	Page
	Over, URL, BackURL string
	HeadsURL           string // a table that has the heads alone
	Says               []string
	File               Field
	Columns            []format.Line
	Risks              []string // what each of the people has accepted; none where nothing is
	Version            string
}

// CarriedFile is a file that travels in a form, so that it need not lie anywhere meanwhile.
type CarriedFile struct{ Table, Seal string }

// SheetPreview shows what would become of every line.
type SheetPreview struct {
	Page
	Over, URL, BackURL string
	Again              NoteText // why a preview came back
	ReadAs             NoteText
	Unknown            NoteText // columns that are left out
	Faults             []string // of the head
	Lines              []SheetLine
	New                int  // how many would be added
	Refused            bool // something is wrong, so nothing can be brought in
	Mail               Field
	File               CarriedFile
}

// SheetLine is one line of a preview.
type SheetLine struct {
	At    string // "4", or "6, row 5 of a spreadsheet"
	Order int
	Name  string
	Stamp StampText
	Says  []string
}

// SheetRefused is the stamp of a line that is refused.
func SheetRefused() StampText { return StampText{Word: "refused", Look: LookClay, Mark: MarkCross} }

// SheetHere is the stamp of somebody who is here already.
func SheetHere() StampText { return StampText{Word: "here already", Look: LookRock, Mark: MarkBar} }

// SheetNew is the stamp of somebody who would be added.
func SheetNew() StampText { return StampText{Word: "new", Look: LookLeaf, Mark: MarkDot} }

// WithBadLines puts lines that do not fit their file among the others.
func WithBadLines(lines, bad []SheetLine) []SheetLine {
	all := append(append([]SheetLine(nil), lines...), bad...)
	sort.SliceStable(all, func(i, j int) bool { return all[i].Order < all[j].Order })
	return all
}

func (p SheetPreview) ledger() LedgerText {
	l := LedgerText{Cards: true,
		Columns: []Column{{Label: "Name"}, {Label: "Line"}, {Label: "Outcome"}, {Label: "Why"}}}
	for _, x := range p.Lines {
		stamp, name := x.Stamp, x.Name
		if name == "" {
			name = "Line " + x.At
		}
		why := Cell{Text: "-"}
		if len(x.Says) > 0 {
			why = Cell{Part: sheetSays(x.Says)}
		}
		l.Rows = append(l.Rows, []Cell{{Text: name}, {Text: x.At}, {Stamp: &stamp}, why})
	}
	return l
}

// title says in one line what the preview comes to.
func (p SheetPreview) title() string {
	refused := len(p.Faults)
	for _, x := range p.Lines {
		if x.Stamp.Word == SheetRefused().Word {
			refused++
		}
	}
	switch {
	case p.Refused && refused == 1:
		return "One thing has to be put right. Nothing is brought in yet."
	case p.Refused:
		return format.Count(refused, "thing", "things") + " have to be put right. Nothing is brought in yet."
	case p.New == 0:
		return "Nobody is new. There is nothing to bring in."
	}
	return format.Count(p.New, "person", "people") + " would be added."
}

// BroughtPage lists the invitations of people who were brought in.
type BroughtPage struct {
	Page
	Invitations []Invitation
	Mailed      bool
}

func (p BroughtPage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Link"}, {Label: "Ends"}}}
	for _, i := range p.Invitations {
		l.Rows = append(l.Rows, []Cell{{Text: i.For}, {Part: copyLink(i.Link)}, {Text: i.Until}})
	}
	return l
}
