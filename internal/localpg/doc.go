// Package localpg runs a private PostgreSQL cluster as a child process: on a Unix socket,
// never as root, locked to one process per folder, and with data that survive any kill.
//
// FindPrograms looks for the server programs on the machine, Fetch downloads a build if there
// are none, and Start makes or opens the cluster. It runs on Linux and macOS. On Linux the
// server ends with the process that started it.
package localpg
