// Package chart draws: profiles, maps, the hours of a day, start windows and years, as SVG.
package chart
