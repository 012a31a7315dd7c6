// Package site assembles a running web site: it opens the database, builds the server, and
// runs the periodic jobs. It knows no flags: package main and tests pass it Options and
// DatabaseOptions.
package site
