// Package view holds the pages of area signups: structs of display text and the templates that show
// them.
package view
