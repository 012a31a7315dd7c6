// Package view holds the pages of area hikes: structs of ready text and the templates that show them.
package view
