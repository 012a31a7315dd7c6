// Package watch serves the board, the watch of one hike, the trip sheet, the hand-over sheet
// and cards in an emergency.
package watch
