// Package accounts serves sign-in, second steps, passkeys, one's own account and, for
// coordinators, all accounts.
package accounts
