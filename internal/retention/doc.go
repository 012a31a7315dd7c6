// Package retention says what is on file about people, who may see it, and when it is deleted.
//
// Fields is the registry of everything a sign-up stores about a person. The store reads, writes
// and deletes the columns of table signups by it. The page and the file with one's own data are
// made from it. Tests take from it the words that they plant and look for. Columns lists what
// other tables store.
//
// # How to add a field about a person
//
//  1. Add the field to signup.SignUp, with a comment, and check its value in SignUp.Check.
//  2. Add a migration: ALTER TABLE signups ADD COLUMN, NOT NULL with a default, and its Down.
//     Then run go test ./internal/postgres -run TestSchemaDump -update.
//  3. Add a row to Fields: the column, the kind of data (who sees it), the class (when it is
//     deleted), the key in the file, the label on the page, and a planted word.
//     If no kind fits, take the narrower one. The days that a class is kept are settings of
//     internal/rules/table.go; their labels there name what the class holds.
//  4. Ask for it: a question in web/signups/signup_form.go, its place in view/signup.templ. A
//     fault that Check adds goes by the question's name.
//  5. Show it: a field of the page's struct, such as in web/hikes/view/hike.go, filled where
//     CanSee allows it (package privacy), a line in shownBy of web/visibility_table_test.go, and a
//     state in web/storybook.
//
// Optional: a column of the CSV table (web/kit), an answer of the demo's people (internal/sample).
//
// A part of a JSON column, such as one more answer in signup.SelfReport, needs no migration.
//
// A page that shows the field to others first asks privacy.Visibility.CanSee for its kind.
// Tests fail for a field of the struct without a row, a column that is neither in this registry
// nor in the list of impersonal columns, a row without a class or a planted word, a text that no
// form asks for, a word that a page shows to somebody who may not see it, and a word that a
// deletion leaves behind. No test knows on which page staff need a field: that is step 5.
package retention
