// Package supply says what a walk costs the body and what it must carry: energy, water
// and food, and how to share water that is short.
//
// Drink is the rate that plans are made from: the US Army table's cell for the heat and
// the work, raised for full sun and for what must evaporate, never above the published
// ceiling. The table is for healthy people used to heat; the public is worse, so rates are a
// plan and never a prescription. The tests hold these figures against other published ones.
package supply
