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
	"strconv"
	"strings"

	"saltbush/internal/fault"
)

// Kinds of trouble with sealed texts.
var (
	// ErrOtherKey is a card sealed with a key that is not here any more.
	ErrOtherKey = errors.New("sealed with a key that is not here")
	// ErrDamaged is a card that was changed, cut, or belongs to somebody else.
	ErrDamaged = errors.New("the sealed text is damaged or belongs to another card")
)

// ErrNoKey refuses to keep medical words that could not be sealed.
const ErrNoKey = fault.Refusal("The key that seals medical words is missing here, so they cannot be kept safely now. " +
	"Leave them out, and tell the leader by phone.")

// keyBytes is the size of every key here, for AES-256 (FIPS 197, 2001, section 6.1).
const keyBytes = 32

// Key is the master key, which wraps the key of each card. Printing it shows nothing.
type Key struct{ secret [keyBytes]byte }

// NewKey draws a key.
func NewKey() Key {
	var k Key
	_, _ = rand.Read(k.secret[:]) // never fails: crypto/rand ends the program rather
	return k
}

// ParseKey reads a key as Reveal wrote it.
func ParseKey(s string) (Key, error) {
	var k Key
	b, err := base64.StdEncoding.DecodeString(strings.TrimSpace(s))
	if err != nil || len(b) != keyBytes {
		return k, fmt.Errorf("the key of the medical cards is not %d bytes in base64", keyBytes)
	}
	copy(k.secret[:], b)
	return k, nil
}

// Reveal is the key as text, for its file alone.
func (k Key) Reveal() string { return base64.StdEncoding.EncodeToString(k.secret[:]) }

// String shows nothing.
func (k Key) String() string { return "key of the medical cards" }

// GoString shows nothing.
func (k Key) GoString() string { return k.String() }

// LogValue shows nothing.
func (k Key) LogValue() slog.Value { return slog.StringValue(k.String()) }

// Keyring seals and opens. The zero value holds no key: it opens nothing and seals nothing.
type Keyring struct {
	id        []byte
	wrap, log cipher.AEAD
}

// NewKeyring derives a key for each use, so that none meets the texts of another
// (RFC 5869, 2010, section 3.2).
func NewKeyring(k Key) (Keyring, error) {
	wrap, err1 := derive(k, "saltbush card 1 wrap", keyBytes)
	log, err2 := derive(k, "saltbush card 1 openings", keyBytes)
	// House judgement: eight bytes tell the few keys of one organisation apart.
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

// aead is AES-256-GCM with a random nonce before each text. NIST SP 800-38D (2007),
// section 8.3: one key may seal 2^32 texts so; each card has its own, and the master key
// seals one key for each writing of a card.
func aead(key []byte) (cipher.AEAD, error) {
	block, err := aes.NewCipher(key)
	if err != nil {
		return nil, err
	}
	return cipher.NewGCMWithRandomNonce(block)
}

// Holds reports whether there is a key at all.
func (r Keyring) Holds() bool { return len(r.id) > 0 }

// ID names the key without telling anything of it.
func (r Keyring) ID() []byte { return bytes.Clone(r.id) }

// Sealed is a card as a store keeps it.
type Sealed struct {
	KeyID  []byte // of the master key
	Key    []byte // the card's own key, wrapped
	Action []byte
	Body   []byte
}

// Seal encrypts a card with a key of its own. Each part is bound to the person, the hike
// and its place on the card: put beside another name it does not open.
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
	return Sealed{KeyID: r.ID(), Key: r.wrap.Seal(nil, nil, own, of.bound("key")),
		Action: box.Seal(nil, nil, padded([]byte(c.Action)), of.bound("action")),
		Body:   box.Seal(nil, nil, padded(body), of.bound("body"))}, nil
}

// bound is the associated data of a part.
func (of Of) bound(part string) []byte {
	return []byte("saltbush card 1\x00" + part + "\x00" + strconv.FormatInt(int64(of.Hike), 10) + "\x00" + of.Person)
}

// House judgement: so that the length of a sealed text does not tell how much is said.
const padTo = 256

// padded ends a text with spaces, of which the reader takes no notice.
func padded(b []byte) []byte {
	return append(bytes.Clone(b), bytes.Repeat([]byte{' '}, padTo-len(b)%padTo)...)
}

// Action opens the action line alone.
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

// Open opens the whole card.
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

// SealReason encrypts why a card was opened, which may tell as much as the card.
func (r Keyring) SealReason(o Opening) ([]byte, error) {
	if !r.Holds() {
		return nil, ErrNoKey
	}
	return r.log.Seal(nil, nil, padded([]byte(o.Reason)), o.Of.bound("reason "+o.ID)), nil
}

// OpenReason reads it again.
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
