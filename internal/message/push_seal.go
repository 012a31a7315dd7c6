package message

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/ecdh"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"time"
)

// PushKeys are the pair by which push services know a site (RFC 8292, 2017). Whoever
// subscribed did so to this pair: a new one ends every subscription.
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

// Bytes are the private key, from which the pair can be read again.
func (k PushKeys) Bytes() ([]byte, error) { return k.private.Bytes() }

// Public is the public key as a browser takes it.
func (k PushKeys) Public() string {
	point, err := k.private.PublicKey.Bytes()
	if err != nil {
		return "" // the curve is ours, so there is none
	}
	return unpadded(point)
}

// token is the signed word that a push to an endpoint is ours (RFC 8292, section 2: a JSON
// Web Token signed by ES256, RFC 7518, section 3.4).
func (k PushKeys) token(endpoint, site string, expires time.Time) (string, error) {
	u, err := url.Parse(endpoint)
	if err != nil {
		return "", fmt.Errorf("endpoint: %w", err)
	}
	claims, err := json.Marshal(struct {
		Audience string `json:"aud"`
		Expires  int64  `json:"exp"`
		Subject  string `json:"sub"`
	}{u.Scheme + "://" + u.Host, expires.Unix(), site})
	if err != nil {
		return "", err
	}
	signed := unpadded([]byte(`{"typ":"JWT","alg":"ES256"}`)) + "." + unpadded(claims)
	sum := sha256.Sum256([]byte(signed))
	r, s, err := ecdsa.Sign(rand.Reader, k.private, sum[:])
	if err != nil {
		return "", err
	}
	return signed + "." + unpadded(append(r.FillBytes(make([]byte, 32)), s.FillBytes(make([]byte, 32))...)), nil
}

func browserKey(point []byte) (*ecdh.PublicKey, error) {
	k, err := ecdh.P256().NewPublicKey(point)
	if err != nil {
		return nil, &FieldError{"keys", errors.New("are no point of the curve")}
	}
	return k, nil
}

// sealPush encrypts a text for one browser, under a key pair and a salt of this message
// alone.
func sealPush(s Subscription, text []byte) ([]byte, error) {
	once, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	salt := make([]byte, 16)
	if _, err := rand.Read(salt); err != nil {
		return nil, err
	}
	return sealWith(s, text, once, salt)
}

const (
	// RFC 8188 (2017), section 2: the record size stands in the header; push services take
	// no more than 4096 (RFC 8030, 2016, section 7.2).
	pushRecord = 4096
	// RFC 8188, section 2: the header before the key's length, the tag of AES-GCM, and the
	// mark of the last record.
	pushOverhead = 16 + 4 + 1 + pointLength + 16 + 1
)

// sealWith is the encryption of RFC 8291 (2017), section 3.4, in one record of RFC 8188.
func sealWith(s Subscription, text []byte, once *ecdh.PrivateKey, salt []byte) ([]byte, error) {
	if len(text) > pushRecord-pushOverhead {
		return nil, &FieldError{"text", fmt.Errorf("%w: most are %d bytes", ErrTooLong, pushRecord-pushOverhead)}
	}
	browser, err := browserKey(s.P256dh)
	if err != nil {
		return nil, err
	}
	shared, err := once.ECDH(browser)
	if err != nil {
		return nil, fmt.Errorf("agree on a key: %w", err)
	}
	key, nonce, err := pushSecrets(shared, s, once.PublicKey().Bytes(), salt)
	if err != nil {
		return nil, err
	}
	block, err := aes.NewCipher(key)
	if err != nil {
		return nil, err
	}
	gcm, err := cipher.NewGCM(block)
	if err != nil {
		return nil, err
	}
	out := append([]byte{}, salt...)
	out = binary.BigEndian.AppendUint32(out, pushRecord)
	out = append(append(out, pointLength), once.PublicKey().Bytes()...)
	return gcm.Seal(out, nonce, append(append([]byte{}, text...), 2), nil), nil // 2 marks the last record
}

// pushSecrets are the key and the nonce: RFC 8291, section 3.4, then RFC 8188, sections
// 2.2 and 2.3.
func pushSecrets(shared []byte, s Subscription, once, salt []byte) (key, nonce []byte, err error) {
	about := "WebPush: info\x00" + string(s.P256dh) + string(once)
	ikm, err := hkdf.Key(sha256.New, shared, s.Auth, about, 32)
	if err != nil {
		return nil, nil, err
	}
	prk, err := hkdf.Extract(sha256.New, ikm, salt)
	if err != nil {
		return nil, nil, err
	}
	if key, err = hkdf.Expand(sha256.New, prk, "Content-Encoding: aes128gcm\x00", 16); err != nil {
		return nil, nil, err
	}
	nonce, err = hkdf.Expand(sha256.New, prk, "Content-Encoding: nonce\x00", 12)
	return key, nonce, err
}
