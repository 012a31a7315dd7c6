// Package kit is what the handlers of every area share: who asks, what a request is about, forms,
// page frames, errors, and words that several areas show.
//
// # How to add a column to a table (CSV)
//
// People come in and go out as tables: web/accounts/import_columns.go and
// web/signups/import_columns.go list the columns. A column has a head, the question of the form
// that reads and checks it, the kind of data that privacy has for it, and a function that writes
// it. A line of a file passes the same checks as the form. A column without a writer is read only:
// health never leaves the pages, so it has none. Kind decides who gets the column.
package kit
