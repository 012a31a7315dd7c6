// Package view holds the pages of area hikes: structs of display text and the templates that show
// them.
package view
