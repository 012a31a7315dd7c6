// Package roll serves the roll on a phone, with and without signal.
package roll
