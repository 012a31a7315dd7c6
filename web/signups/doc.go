// Package signups serves signing up, the private page of a participant, screening, cars, medical
// cards, a person's own data, and import and export.
package signups
