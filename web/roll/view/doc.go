// Package view holds the pages of the roll: structs of ready text and the templates that
// show them.
package view
