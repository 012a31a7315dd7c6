// Package paths returns the paths of pages, for links on pages and in mail. Mail keeps old
// paths alive: see web/moved.go before you change one.
package paths
