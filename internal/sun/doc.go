// Package sun says where the Sun stands, when it rises and sets, when there is light
// enough to walk by, and how strong a cloudless or clouded sky shines.
//
// The position is that of the NOAA solar calculator, which follows Meeus, Astronomical
// Algorithms (2nd ed., 1998), chapters 25 and 28: 0.01 degrees for the centuries around
// 2000. Rise and set are for a level sea horizon and standard air; a canyon wall can take
// an hour and more of direct light, and nothing here knows of it.
package sun
