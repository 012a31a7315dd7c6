// Package view holds the public pages: structs of ready text and the templates that show
// them.
package view
