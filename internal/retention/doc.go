// Package retention says what is kept about people, for how long, and what holds it back.
package retention
