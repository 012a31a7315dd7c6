// Package chart draws as SVG: profiles, maps, the hours of a day, start windows and years.
package chart
