package message

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"encoding/base64"
	"fmt"
)

// PushKeys is the key pair that identifies a site to push services (RFC 8292, 2017).
// Browsers subscribe to one pair: a new pair ends every subscription.
type PushKeys struct{ private *ecdsa.PrivateKey }

// NewPushKeys makes a pair.
func NewPushKeys() (PushKeys, error) {
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	return PushKeys{k}, err
}

// ParsePushKeys reads a pair that Bytes wrote.
func ParsePushKeys(b []byte) (PushKeys, error) {
	k, err := ecdsa.ParseRawPrivateKey(elliptic.P256(), b)
	if err != nil {
		return PushKeys{}, fmt.Errorf("push keys: %w", err)
	}
	return PushKeys{k}, nil
}

// Bytes returns the private key, from which the pair can be read again.
func (k PushKeys) Bytes() ([]byte, error) { return k.private.Bytes() }

// Public returns the public key as a browser takes it: base64url without padding (RFC 7515,
// 2015, section 2).
func (k PushKeys) Public() string {
	point, err := k.private.PublicKey.Bytes()
	if err != nil {
		return "" // cannot happen: the curve is always P-256
	}
	return base64.RawURLEncoding.EncodeToString(point)
}
