// Package signups serves signing up, the private page of a participant, screening, cars,
// medical cards and a person's own data.
package signups
