// Package settings serves the rules of the organization, retention and the outbox.
package settings
