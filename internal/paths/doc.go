// Package paths writes the addresses of pages, as they stand in links and in mail.
package paths
