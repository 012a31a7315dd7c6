// Package card keeps what people tell about their health apart, and sealed.
//
// A card has two parts. The action line says what to do for the person and is read by the leader
// and the sweep of the day. The rest opens only to those entitled, with a written reason; every
// opening is logged and the person is told. Both parts are encrypted before they reach a store,
// with a key that is not in the database.
//
// # How to handle what people tell about their health
//
// It passes through Store and nothing else. No column, log line, mail, export or test fixture
// holds it as plain text. signup.SignUp.Needs is written at sign-up and comes back empty; Carded
// says that there is a card.
//
// Each card has a key of its own, wrapped by the master key. Its associated data name the person,
// the hike and the part, so a row copied to another person does not open. cmd/saltbush/cardkey.go
// finds the master key; tests use sitetest.CardKey.
//
// A page shows the action line where Visibility.CanSee(privacy.KindAction), and more only after
// MayOpen, with a reason and after the opening is stored. A new text of a card joins Card.texts and
// the planted words of TestADumpHoldsNoReadableMedicalWord, which searches the output of pg_dump.
package card
