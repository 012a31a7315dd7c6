// Package sheet reads and writes CSV files as spreadsheets do: cells separated by commas,
// semicolons or tabs, in several encodings. It knows nothing about the content of cells. It
// reads back exactly what it wrote. Files that it cannot read it refuses by line and column,
// with a reason. A cell that a spreadsheet would run as a formula is written with an
// apostrophe before it, which is removed when the cell is read.
package sheet
