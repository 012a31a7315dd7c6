// Package text cleans and checks all text that people type, scan, import or send from a
// phone: names, single lines, paragraphs, mail addresses and phone numbers. The rest of the
// program can store, print and mail it without further checks.
//
// Cleaning never fails. It removes invisible characters, and whatever could break a line, a
// mail or a page. Only input is checked: stored text is loaded as it is, even if it would be
// refused today.
package text

// Fault is what is wrong with a text, worded for the person who typed it.
type Fault string

func (f Fault) Error() string { return string(f) }
