// Package postgres stores everything, and is the only package that speaks SQL. It implements the
// store interfaces that the domain packages declare. Rules stay in the domain: if one must hold
// under a lock, the method takes or calls the domain's function inside its transaction.
//
// A transaction travels in the context. Every method joins the transaction of its context, so a
// function that a store calls inside a transaction can call other methods of the store.
//
// # How to add a query
//
// Add a method to the Store interface of the package that needs it, and implement it in NOUN.go:
// SQL as a literal, keywords in capitals, one column a line, named arguments, run by one, many,
// value, values, exec or execOne. Rows are read by name into the fields of a struct. Simple writes
// take their columns from the arguments (insertSQL, upsertSQL). Zero times and dates are stored as
// NULL. A list page makes one round trip. Test it on pgtest.Migrated.
//
// # How to add a migration
//
// Take the next number in migrations/, one subject, with its Down. Never edit one that has been
// merged. Then write migrations/schema.sql, the dump for readers:
//
//	go test ./internal/postgres -run TestSchemaDump -update
//
// Tests go up, down and up again, with and without rows; a table or column with another name goes
// into the lists of migration_test.go. A table that the board shows needs the trigger announce_hike
// (see web/watch); one that holds something about people needs rows in package retention.
package postgres
