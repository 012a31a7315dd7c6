// Package view holds the pages of area trails: structs of display text and the templates that show
// them.
package view
