// Package view holds the pages: templ components and, for each, a struct of text that
// is ready to be read.
//
// A page branches and loops; it does not compute, look up or format. Figures become text
// in format.go and nowhere else. Nothing here knows a request, a session or a database,
// so every page can be drawn from fixed data (see StatePages).
package ui
