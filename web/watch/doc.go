// Package watch serves the board, the watch of one hike, the trip sheet, the hand-over sheet
// and cards in an emergency.
//
// # How to show something new on the board
//
// The database announces its changes: the trigger announce_hike on a table notifies the number of
// the hike that changed, or 0 for all. watch.CaseCache folds a hike again only after such a notice,
// the board is drawn once for all readers, and a browser gets only the rows that differ. So a new
// table that the board shows needs the trigger, in a migration. A fact that the board shows is
// computed in watch.Case and nowhere else.
package watch
