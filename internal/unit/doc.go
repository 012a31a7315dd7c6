// Package unit gives each kind of quantity its own type, so that meters are never mixed with feet or fractions with
// percentages.
//
// A value is in the base unit given at its type. Constants convert to it (3*unit.Mile) and methods convert from it
// (l.Miles()). Quantities marshal to JSON as plain numbers in their base unit; the keys name the unit.
package unit
