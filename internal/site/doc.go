// Package site is a running web site on its database: it opens the database, assembles the
// server, and does what is due by the clock. It knows no flags; package main gives it an
// Options and a DatabaseOptions, and so do tests.
package site
