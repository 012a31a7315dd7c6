// Package view holds the pages of the board and the watch: structs of ready text and the
// templates that show them.
package view
