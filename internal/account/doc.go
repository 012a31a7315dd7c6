// Package account says who may sign in, who may do what, and which private links open
// one thing without signing in.
//
// Everything here is a value or a rule: May is the one place where permission is
// decided, Hasher keeps passwords, and Link holds only the hash of a secret. Accounts
// and links are kept by whatever implements Store.
package account
