// Package trails serves the trail catalogue.
package trails
