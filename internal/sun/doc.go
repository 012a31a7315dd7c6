// Package sun computes the position of the Sun, when it rises and sets, when there is enough light to walk by, and
// the sunshine under a clear or cloudy sky.
//
// The position follows the NOAA solar calculator, which is based on Meeus, Astronomical Algorithms (2nd ed., 1998),
// chapters 25 and 28: 0.01 degrees for the centuries around 2000. Rise and set are for a level sea horizon and
// standard air. A canyon wall can block direct light for an hour or more; that is not modeled here.
package sun
