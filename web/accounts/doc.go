// Package accounts serves signing in, second steps, passkeys, one's own account and, for
// coordinators, everybody's.
package accounts
