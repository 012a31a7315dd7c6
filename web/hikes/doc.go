// Package hikes serves scheduling, planning, deciding, announcing and closing hikes.
package hikes
