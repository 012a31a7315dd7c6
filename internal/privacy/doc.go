// Package privacy is the one table of who may see which personal data, and when.
package privacy
