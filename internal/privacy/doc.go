// Package privacy holds the one table of who may see which personal data, and when. Other
// packages ask it through Visibility; none decides for itself.
package privacy
