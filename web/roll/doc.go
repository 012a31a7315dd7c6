// Package roll serves taking the roll on a phone, with and without signal.
package roll
