// Package ui holds the components that all pages share: layout, forms, tables, stamps and ledgers,
// as templ files and the structs of display text that they take.
//
// A page branches and loops. It does not compute, look up or format: package format turns figures
// into text. Nothing here knows a request, a session or a database, so every page can be drawn
// from fixed data (see package storybook).
package ui
