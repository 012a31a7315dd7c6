// Package notify decides which message goes to whom about a hike, and composes it from
// facts. Jobs and handlers call it. It queues mail and never sends any.
//
// Each subject has a file: letter (mail about a place), invitation (its calendar entry), change
// (of a hike), announcement, waitlist, eve, rides and cars, staff, certificate, watch and
// watchcard. The words of a mail are in package message, which takes display text.
//
// # How to add a mail
//
//  1. Compose it in package message. Its key must be the same for the same message, however often
//     it is composed, because the outbox sends a key once.
//  2. Decide here who gets it. Mail about a place goes through PlaceMails, which attaches the
//     calendar entry and numbers it. A change of a hike is wrapped in NotifyOnChange, which mails
//     the difference once.
//  3. Queue it with the change. A store method that takes hike.Mails calls them inside its
//     transaction and queues what they return there: both happen, or neither. Use the context that
//     is passed in, because it carries the transaction.
//  4. Mail that people can do without gets a message.Topic and passes stoppable. Mail about safety
//     and decisions never has a topic.
//  5. Test it on the fake of fake_test.go.
package notify
