// Package supply computes what a walk costs the body and what to carry: energy, water and food, and how to share
// scarce water.
//
// Plans use the rate of Drink: the cell of the US Army table for the heat and the work, raised for full sun and for
// what must evaporate, and never above the published ceiling. The table is for healthy people used to heat; the
// public is less fit, so a rate is for planning and never a prescription. The tests compare these figures with other
// published ones.
package supply
