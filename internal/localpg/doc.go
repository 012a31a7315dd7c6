// Package localpg runs the database that Saltbush starts for itself: a private
// PostgreSQL cluster as a child process, on a Unix socket, never as root, with one
// holder per folder and data that stay whole after any kill.
//
// FindPrograms looks for the server programs on the machine, Fetch gets a build of
// them when there are none, and Start makes or opens the cluster. It runs on Linux and
// macOS; on Linux the server also ends with the program that started it.
package localpg
