package storybook

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

func sheetPages() []StatePage {
	up := ui.SheetPage{Page: sampleStaffPage("Bring in sign-ups", "Desk"),
		Over: "Quail Wash at first light, Sunday 10 May 2026", URL: "/hikes/12/sign-ups/import",
		BackURL: "/hikes/12/manage", HeadsURL: "/hikes/12/sign-ups/import/columns.csv",
		Says: []string{"One line for each person. The rules are those of the form.",
			"The whole list comes in, or nothing of it.", "No letter goes out unless you ask for it."},
		File: ui.Field{Name: "file", Label: "The file", Hint: "CSV, as spreadsheets save it."},
		Columns: []format.Line{{Label: "Name", Value: "as their family would say it", Note: "needed"},
			{Label: "Contact phone", Value: "their number"},
			{Label: "Adult in charge",
				Value: "of a minor: the adult on this hike, in a line before the child or signed up already"}},
		Risks:   []string{"Heat, falls, animals and getting lost can hurt or kill.", "I come by my own decision."},
		Version: "Version 2 of 1 March 2026. It is kept that you brought these people in, and when."}
	wrong := up
	wrong.File.Error = "This is a spreadsheet's own file: save it as CSV and choose that."
	ok := ui.SheetPreview{Page: up.Page, Over: up.Over, URL: up.URL + "/confirm", BackURL: up.URL, New: 2,
		File: ui.CarriedFile{Table: "TmFtZQ", Seal: "1.a"},
		ReadAs: ui.NoteText{Title: "Read as UTF-8, divided by semicolons",
			Text: "Look at letters with accents before you go on."},
		Mail: ui.Field{Name: "mail", Label: "Write to each of them, with the link to their place.", Optional: true},
		Lines: []ui.SheetLine{{At: "2", Name: "Amaya Reyes", Stamp: ui.StampOf("confirmed")},
			{At: "3", Name: "Jonah Pike", Stamp: ui.StampOf("asked"),
				Says: []string{"A talk first.", "A place is kept until Sat 9 May, 18:05."}},
			{At: "4", Name: "Ines Calder", Stamp: ui.SheetHere(),
				Says: []string{"On this hike already; left as it is."}}}}
	bad := ok
	bad.Refused, bad.Again = true, ui.NoteText{Kind: ui.NoteCaution, Title: "Nothing was brought in",
		Text: "Something has changed since the preview. This is how it stands now."}
	bad.Faults = []string{"Column 7 (name): this column stands twice: column 1 is the same."}
	bad.ReadAs = ui.NoteText{Kind: ui.NoteCaution, Title: "Read as Windows-1252, divided by commas",
		Text: "The encoding is a guess: the file does not say which it is. Look at letters with accents before you " +
			"go on, or save the file as UTF-8."}
	bad.Unknown = ui.NoteText{Kind: ui.NoteCaution, Title: "Columns that are left out",
		Text: "Nothing is known by these names.", Points: []string{"Shoe size", "column 9, which has no name"}}
	bad.Lines = append([]ui.SheetLine{{At: "2, row 5 of a spreadsheet",
		Name:  "Zoë Peña-Montgomery of the Long Valley",
		Stamp: ui.SheetRefused(),
		Says: []string{"Column 6 (Contact phone): This number has 5 digits, which are too few. Give it with its " +
			"area code.", "Column 9 (Accepts the risks): Write yes, no or nothing."}},
		{At: "9", Stamp: ui.SheetRefused(),
			Says: []string{"Column 27: the line has 27 cells and the head has 26: is a separator inside a cell " +
				"without quotes around it?"}}}, ok.Lines...)
	done := ui.BroughtPage{Page: sampleStaffPage("Brought in", "People"),
		Invitations: []ui.Invitation{{For: "Wren O'Dell",
			Link: "https://hikes.example/invited/K7QX-2M4P-9TTR-66DA-1B0C", Until: "Sunday 17 May 2026"},
			{For: "Pia Lund", Link: "https://hikes.example/invited/A7QX-2M4P-9TTR-66DA-1B0D",
				Until: "Sunday 17 May 2026"}}}
	return []StatePage{
		{"table-file", "Table: choose a file", ui.Sheet(up)}, {"table-file-wrong", "Table: the file is none",
			ui.Sheet(wrong)}, {"table-lines", "Table: every line", ui.SheetPreviewed(ok)},
		{"table-refused", "Table: refused by line", ui.SheetPreviewed(bad)},
		{"table-brought", "Table: people brought in", ui.SheetBrought(done)},
	}
}
