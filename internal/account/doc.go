// Package account defines accounts, permissions and private links.
//
// May decides every permission. Hasher hashes passwords. A Link opens one thing without
// signing in, and holds only the hash of its secret. A Store stores accounts and links.
package account
