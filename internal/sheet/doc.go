// Package sheet reads and writes tables of text as spreadsheets pass them on: cells divided
// by commas, semicolons or tabs, in the encodings that spreadsheets write. It knows nothing
// of what stands in the cells. What it writes it reads back exactly; what it cannot read it
// refuses by line and column, with the reason. Cells that a spreadsheet would run as a
// formula are written with an apostrophe before them, which is taken off when they come back.
package sheet
