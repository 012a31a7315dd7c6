// Package text is the door for what people type, scan, import or send from a phone: names,
// single lines, paragraphs, mail addresses and phone numbers. What comes in is cleaned and
// checked here, so that the rest of the program can store, print and mail it as it is.
//
// Cleaning never fails: it takes out what nobody can see and what could break a line, a
// mail or a page. Checking is for the door only. What is stored already is loaded as it is,
// even where it would not pass today.
package text

// Fault says what is wrong with a text, in words for the person who typed it.
type Fault string

func (f Fault) Error() string { return string(f) }
