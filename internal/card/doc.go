// Package card encrypts medical cards and decides who may open them.
//
// A card has two parts. The action line says what to do for the person; the leader and the
// sweep of the day read it. The details open only to entitled people who write a reason.
// Every opening is logged and shown to the person. Both parts are encrypted before they reach
// a store, with a key that is not in the database.
package card
