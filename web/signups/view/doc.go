// Package view holds the pages of area signups: structs of ready text and the templates that show them.
package view
