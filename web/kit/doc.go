// Package kit is what the handlers of all areas share: who asks, what a request is about,
// forms, tables, page frames, errors, and texts that several areas show.
//
// # How to declare a form
//
// A form is declared once, as Questions of the value that it fills in. A question has the field
// of the page, reads the answer into the value and fills a stored value in. A handler shows
// form.Fields(state) or form.Filled(state, stored), and reads with form.Read(f, &value). The
// template names the questions: ui.Ask(p.Fields, "name", "email"). Rules about the value stay in
// its Validate.
//
// # How to add a column to a table (CSV)
//
// People are imported and exported as tables: web/accounts/import_columns.go and
// web/signups/import_columns.go list the columns. A column has a head and the question of the
// form that reads, checks and writes its cells; in a table of a hike's people it also has the
// kind of data, which decides who gets it. A line of a file passes the same checks as the form.
// A question that is never shown again has a column that is never written: health stays on the
// pages.
package kit
