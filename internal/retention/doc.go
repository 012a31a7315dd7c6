// Package retention says what is on file about people, who may see it, and when it is deleted.
//
// Fields is the registry of everything a sign-up holds about a person. The store reads, writes
// and deletes the columns of signups by it; the page and the file on which people get their own
// data are written from it; and tests take from it the words that they plant and look for.
// Columns lists what other tables hold.
//
// # How to add a field about a person
//
//  1. Add the field to signup.SignUp, with a comment, and check its value in SignUp.Check.
//  2. Add a migration: ALTER TABLE signups ADD COLUMN, NOT NULL with a default, and the way back.
//     Then run go test ./internal/postgres -run TestSchemaDump -update.
//  3. Add a row to Fields: its column, its kind of data (which decides who sees it), its class
//     (which decides when it goes), its key in the file, its label on the page, a planted word.
//  4. Ask for it: a question in web/signups (signup.go and view/signup.templ).
//
// A part of a JSON column, such as one more answer in signup.SelfReport, needs no migration.
//
// A page that shows the field to others asks privacy.Visibility.CanSee for its kind first. Tests
// fail while a step is missing: a field of the struct without a row, a column that neither this
// registry nor the list of impersonal columns has, a row without a class or a planted word, a word
// that a page shows to somebody who may not see it, and a word that a deletion leaves behind.
package retention
