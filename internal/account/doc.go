// Package account says who may sign in, who may do what, and which private links open one thing
// without signing in.
//
// Everything here is a value or a rule. May is the one place where permission is decided, Hasher
// hashes passwords, and a Link holds only the hash of its secret. Store names what a database
// has to do.
//
// # How to change signing in
//
// May is asked about every route, and nothing else decides. A Viewer is an account, the holder of
// a link (WithLink), or a coordinator whose second step is pending. Links for the day are kept in
// the browser's session, never in an address. What a link opens is a Target, which target.go alone
// reads and writes.
//
// One-time codes follow RFC 6238 (code.go). The rules for guesses, replays and recovery codes are
// in TwoStep, which changes under a row lock. The way from a correct password to a session is
// startSession in web/accounts/signin.go; there is no other. Only web/accounts/webauthn.go uses the
// passkey library. Passkeys belong to the host of SALTBUSH_BASE_URL, or to localhost: to try one
// in the demo, open http://localhost:8080.
package account
