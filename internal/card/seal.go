package card

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"strings"

	"saltbush/internal/fault"
)

// Errors of sealed texts.
var (
	// ErrOtherKey is returned for a text that was sealed with another key.
	ErrOtherKey = errors.New("sealed with a key that is not here")
	// ErrDamaged is returned for a text that was changed, cut, or sealed for another card.
	ErrDamaged = errors.New("the sealed text is damaged or belongs to another card")
)

// ErrNoKey is returned by methods that seal if there is no key.
const ErrNoKey = fault.Refusal("The key that seals medical words is missing here, so they cannot be kept safely now. " +
	"Leave them out, and tell the leader by phone.")

// keyBytes is the size of every key here, for AES-256 (FIPS 197, 2001, section 6.1).
const keyBytes = 32

// Key is the master key, which encrypts the key of each card. Printing it does not reveal it.
type Key struct{ secret [keyBytes]byte }

// NewKey draws a key.
func NewKey() Key {
	var k Key
	_, _ = rand.Read(k.secret[:]) // never fails: crypto/rand ends the program instead
	return k
}

// ParseKey reads a key that Reveal wrote.
func ParseKey(s string) (Key, error) {
	var k Key
	b, err := base64.StdEncoding.DecodeString(strings.TrimSpace(s))
	if err != nil || len(b) != keyBytes {
		return k, fmt.Errorf("the key of the medical cards is not %d bytes in base64", keyBytes)
	}
	copy(k.secret[:], b)
	return k, nil
}

// Reveal returns the key as text, to write to its file.
func (k Key) Reveal() string { return base64.StdEncoding.EncodeToString(k.secret[:]) }

// String hides the key.
func (k Key) String() string { return "key of the medical cards" }

// GoString hides the key.
func (k Key) GoString() string { return k.String() }

// LogValue hides the key.
func (k Key) LogValue() slog.Value { return slog.StringValue(k.String()) }

// Keyring encrypts and decrypts cards and reasons. The zero value has no key.
type Keyring struct {
	id        []byte
	wrap, log cipher.AEAD
}

// NewKeyring derives a separate key for each use (RFC 5869, 2010, section 3.2).
func NewKeyring(k Key) (Keyring, error) {
	wrap, err1 := derive(k, "saltbush card 1 wrap", keyBytes)
	log, err2 := derive(k, "saltbush card 1 openings", keyBytes)
	// Our judgment: eight bytes distinguish the few keys of one organization.
	id, err3 := derive(k, "saltbush card 1 id", 8)
	if err := errors.Join(err1, err2, err3); err != nil {
		return Keyring{}, err
	}
	r := Keyring{id: id}
	r.wrap, err1 = aead(wrap)
	r.log, err2 = aead(log)
	return r, errors.Join(err1, err2)
}

func derive(k Key, info string, n int) ([]byte, error) {
	return hkdf.Key(sha256.New, k.secret[:], nil, info, n)
}

// aead returns AES-256-GCM with a random nonce before each text. NIST SP 800-38D (2007),
// section 8.3: one key may seal 2^32 texts. Each card has its own key, and the master key
// seals one key each time a card is written.
func aead(key []byte) (cipher.AEAD, error) {
	block, err := aes.NewCipher(key)
	if err != nil {
		return nil, err
	}
	return cipher.NewGCMWithRandomNonce(block)
}

// Holds reports whether there is a key.
func (r Keyring) Holds() bool { return len(r.id) > 0 }

// ID identifies the key without revealing anything about it.
func (r Keyring) ID() []byte { return bytes.Clone(r.id) }

// Sealed is a card as it is stored.
type Sealed struct {
	KeyID  []byte // of the master key
	Key    []byte // the card's own key, encrypted with the master key
	Action []byte
	Body   []byte
}

// Seal encrypts a card with a new key of its own. Each part is bound to the person, the hike
// and the part: copied to another card it does not open.
func (r Keyring) Seal(of Of, c Card) (Sealed, error) {
	if !r.Holds() {
		return Sealed{}, ErrNoKey
	}
	own := make([]byte, keyBytes)
	_, _ = rand.Read(own)
	box, err := aead(own)
	if err != nil {
		return Sealed{}, err
	}
	body, err := json.Marshal(c.Details)
	if err != nil {
		return Sealed{}, err
	}
	return Sealed{
		KeyID:  r.ID(),
		Key:    r.wrap.Seal(nil, nil, own, of.bound("key")),
		Action: box.Seal(nil, nil, padded([]byte(c.Action)), of.bound("action")),
		Body:   box.Seal(nil, nil, padded(body), of.bound("body")),
	}, nil
}

// bound returns the associated data of a part.
func (of Of) bound(part string) []byte {
	return []byte("saltbush card 1\x00" + part + "\x00" + of.Hike.String() + "\x00" + of.Person)
}

// padTo is the multiple to which texts are padded, in bytes. Our judgment: enough to hide how
// much somebody wrote.
const padTo = 256

// padded appends spaces, which are trimmed or ignored when the text is read.
func padded(b []byte) []byte {
	return append(bytes.Clone(b), bytes.Repeat([]byte{' '}, padTo-len(b)%padTo)...)
}

// Action decrypts only the action line.
func (r Keyring) Action(of Of, s Sealed) (string, error) {
	box, err := r.unwrap(of, s)
	if err != nil {
		return "", err
	}
	b, err := box.Open(nil, nil, s.Action, of.bound("action"))
	if err != nil {
		return "", ErrDamaged
	}
	return strings.TrimRight(string(b), " "), nil
}

// Open decrypts the whole card.
func (r Keyring) Open(of Of, s Sealed) (Card, error) {
	box, err := r.unwrap(of, s)
	if err != nil {
		return Card{}, err
	}
	action, err1 := box.Open(nil, nil, s.Action, of.bound("action"))
	body, err2 := box.Open(nil, nil, s.Body, of.bound("body"))
	if errors.Join(err1, err2) != nil {
		return Card{}, ErrDamaged
	}
	c := Card{Action: strings.TrimRight(string(action), " ")}
	if err := json.Unmarshal(body, &c.Details); err != nil {
		return Card{}, ErrDamaged
	}
	return c, nil
}

func (r Keyring) unwrap(of Of, s Sealed) (cipher.AEAD, error) {
	if !r.Holds() || !bytes.Equal(s.KeyID, r.id) {
		return nil, ErrOtherKey
	}
	own, err := r.wrap.Open(nil, nil, s.Key, of.bound("key"))
	if err != nil {
		return nil, ErrDamaged
	}
	return aead(own)
}

// SealReason encrypts the reason of an opening, which may reveal as much as the card.
func (r Keyring) SealReason(o Opening) ([]byte, error) {
	if !r.Holds() {
		return nil, ErrNoKey
	}
	return r.log.Seal(nil, nil, padded([]byte(o.Reason)), o.Of.bound("reason "+o.ID)), nil
}

// OpenReason decrypts a reason that SealReason encrypted.
func (r Keyring) OpenReason(o Opening, sealed []byte) (string, error) {
	if !r.Holds() {
		return "", ErrOtherKey
	}
	b, err := r.log.Open(nil, nil, sealed, o.Of.bound("reason "+o.ID))
	if err != nil {
		return "", ErrDamaged
	}
	return strings.TrimRight(string(b), " "), nil
}
