// Package settings serves the rules of the house, retention and the outbox.
package settings
