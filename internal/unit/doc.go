// Package unit gives every quantity that crosses a package its own type, so that
// metres never meet feet and a fraction never meets a percentage.
//
// A value is held in the base unit that its type names. The unit constants convert in
// (3*unit.Mile) and the methods convert out (l.Miles()). Quantities marshal to JSON as
// plain numbers in their base unit; keys say the unit.
package unit
