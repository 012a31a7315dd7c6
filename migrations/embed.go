// Package migrations holds the database's schema as numbered SQL steps, each with its
// way back. schema.sql beside them is a dump of the result, for reading; a test compares
// it with what the steps make.
package migrations

import "embed"

// Files holds the numbered steps.
//
//go:embed 0*.sql
var Files embed.FS
