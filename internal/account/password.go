package account

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// MinPassword is the minimum length of a password, in characters.
// Our judgment: between the 8 that NIST SP 800-63B-4 (2025), section 3.1.1.2, allows with a
// second factor and the 15 it requires of a password alone. Volunteers sign in from phones,
// and attempts are rate-limited.
const MinPassword = 12

// MaxPassword is the maximum length of a password, in characters.
// Our judgment: above the 64 that NIST SP 800-63B-4 (2025), section 3.1.1.2, requires to
// permit, and short enough to hash quickly.
const MaxPassword = 256

// CheckPassword returns what is wrong with a new password, worded for the person who chose
// it. The password must not be the account's name or e-mail.
func CheckPassword(password string, a Account) error {
	n := utf8.RuneCountInString(norm.NFKC.String(password))
	switch {
	case !utf8.ValidString(password):
		return errors.New("the password has bytes that are not text: type it again")
	case n < MinPassword:
		return fmt.Errorf("the password has %d characters: use at least %d, for example four words", n, MinPassword)
	case n > MaxPassword:
		return fmt.Errorf("the password has %d characters: use at most %d", n, MaxPassword)
	}
	return checkGuessable(password, a)
}

func checkGuessable(password string, a Account) error {
	folded := foldPassword(password)
	local, _, _ := strings.Cut(a.Email, "@")
	switch {
	case sameAs(folded, a.Name):
		return errors.New("the password is your name: choose something others cannot guess")
	case sameAs(folded, a.Email), sameAs(folded, local):
		return errors.New("the password is your e-mail address: choose something others cannot guess")
	case isCommon(folded):
		return errors.New("the password is one of the first that others would try: choose another")
	}
	return nil
}

// sameAs reports whether the folded password is the text, once or repeated, followed by
// nothing but digits.
func sameAs(folded, text string) bool {
	other := foldPassword(text)
	if other == "" || folded == "" {
		return false
	}
	rest := strings.TrimRight(folded, "0123456789")
	return folded == other || strings.ReplaceAll(folded, other, "") == "" ||
		(rest != "" && strings.ReplaceAll(rest, other, "") == "")
}

// foldPassword drops what people add to a word to get past a rule: case, spaces and common
// punctuation.
func foldPassword(s string) string {
	drop := func(r rune) rune {
		if strings.ContainsRune(" \t.,-_!?@#*+'", r) {
			return -1
		}
		return r
	}
	return strings.Map(drop, strings.ToLower(norm.NFKC.String(s)))
}

// minDifferent is how many different characters a password needs.
// Our judgment: aaaaaaaaaaaa and abababababab are tried first.
const minDifferent = 4

func isCommon(folded string) bool {
	different := map[rune]bool{}
	for _, r := range folded {
		different[r] = true
	}
	matches := func(word string) bool { return sameAs(folded, word) }
	return len(different) < minDifferent || isRun(folded) || slices.ContainsFunc(common(), matches)
}

// isRun reports whether the password is a run of the alphabet, of digits or of the keyboard:
// 123456789012, abcdefghijkl.
func isRun(s string) bool {
	const rows = "01234567890123456789 abcdefghijklmnopqrstuvwxyz zyxwvutsrqponmlkjihgfedcba 98765432109876543210 " +
		"qwertyuiopasdfghjklzxcvbnm 1qaz2wsx3edc4rfv5tgb6yhn7ujm"
	return strings.Contains(rows, s)
}

// common lists words that are refused as a password, repeated and followed by digits too.
// Our judgment: a short list of our own. Nearly all entries of published lists are shorter
// than twelve characters anyway.
func common() []string {
	return []string{
		"password", "passwort", "passw0rd", "p@ssw0rd", "p4ssword", "thisismypassword", "mypassword", "newpassword",
		"passwordpassword", "letmein", "letmeinplease", "welcome", "welcomehome", "welcometo", "changeme",
		"pleasechangeme", "administrator", "admin", "secret", "topsecret", "default", "guest", "master", "qwerty",
		"qwertyuiop", "asdfghjkl", "iloveyou", "iloveyouforever", "sunshine", "princess", "football", "baseball",
		"dragon", "monkey", "superman", "batman", "trustno1", "whatever", "starwars", "computer", "internet", "abc",
		"abcabc", "abc123", "test", "testing", "testtest", "correcthorsebatterystaple", "saltbush", "desert",
		"deserthike", "coordinator", "leader", "hiking", "hikingclub", "hikeleader", "volunteer", "summer", "winter",
		"spring", "autumn",
	}
}
