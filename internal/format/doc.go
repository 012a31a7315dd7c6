// Package format writes figures, units, clocks, dates and lists for people. Nothing else does.
package format
