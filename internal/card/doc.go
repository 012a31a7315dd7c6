// Package card keeps what a person tells about their health apart and sealed.
//
// A card has two parts. The action line says what to do for the person and is read by the
// leader and the sweep of the day. The rest opens only to those entitled, with a written
// reason; every opening is kept and told to the person. Both parts are encrypted before
// they reach a store, by a key that lies outside of the database.
package card
