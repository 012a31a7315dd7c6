// Package format writes figures, units, clocks, dates and lists for people, in metric or US
// units and by the wall clock of the trailhead. No other package does; add what is missing
// here. Files and protocols (GPX, iCalendar, JSON) have their own forms in their own packages.
package format
