package site_test

import (
	"bytes"
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/ecdh"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/big"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
)

// pushService is a push service with one browser, which decrypts messages by RFC 8291
// independently of the code under test.
type pushService struct {
	t       *testing.T
	private *ecdh.PrivateKey
	auth    []byte
	base    string
	mu      sync.Mutex
	answers []int // statuses of the first responses; then 201
	shown   []message.PushText
}

func newPushService(t *testing.T, answers ...int) *pushService {
	t.Helper()
	private, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	p := &pushService{t: t, private: private, auth: []byte("sixteen secret b"), answers: answers}
	s := httptest.NewServer(p)
	t.Cleanup(s.Close)
	p.base = s.URL
	return p
}

// subscription returns the browser as the site stores it.
func (p *pushService) subscription() message.Subscription {
	return message.Subscription{
		Endpoint: p.base + "/send/abc", P256dh: p.private.PublicKey().Bytes(), Auth: p.auth,
	}
}

// form returns what the script of the browser sends to the site.
func (p *pushService) form() url.Values {
	b64 := base64.RawURLEncoding.EncodeToString
	return url.Values{
		"endpoint": {p.base + "/send/abc"},
		"p256dh":   {b64(p.private.PublicKey().Bytes())},
		"auth":     {b64(p.auth)},
		"label":    {"Firefox on Android"},
	}
}

func (p *pushService) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		p.t.Error(err)
	}
	p.checkToken(r)
	h := r.Header
	if h.Get("TTL") != "86400" || h.Get("Urgency") != "high" || h.Get("Content-Encoding") != "aes128gcm" {
		p.t.Errorf("headers %v", h)
	}
	text := p.open(body)
	var wake message.PushText
	if err := json.Unmarshal(text, &wake); err != nil {
		p.t.Errorf("decrypted %q: %v", text, err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	status := http.StatusCreated
	if len(p.answers) > 0 {
		status, p.answers = p.answers[0], p.answers[1:]
	}
	if status == http.StatusCreated || status == lostAnswer {
		p.shown = append(p.shown, wake)
	}
	if status == lostAnswer {
		panic(http.ErrAbortHandler)
	}
	w.WriteHeader(status)
}

// lostAnswer is the status for a message whose response does not reach the sender.
const lostAnswer = 299

// open decrypts by RFC 8188 and 8291.
func (p *pushService) open(body []byte) []byte {
	salt, once, sealed := body[:16], body[21:86], body[86:]
	theirs, err := ecdh.P256().NewPublicKey(once)
	if err != nil {
		p.t.Fatal(err)
	}
	shared, err := p.private.ECDH(theirs)
	if err != nil {
		p.t.Fatal(err)
	}
	derive := func(secret, salt []byte, info string, n int) []byte {
		k, err := hkdf.Key(sha256.New, secret, salt, info, n)
		if err != nil {
			p.t.Fatal(err)
		}
		return k
	}
	ikm := derive(shared, p.auth, "WebPush: info\x00"+string(p.private.PublicKey().Bytes())+string(once), 32)
	block, err := aes.NewCipher(derive(ikm, salt, "Content-Encoding: aes128gcm\x00", 16))
	if err != nil {
		p.t.Fatal(err)
	}
	gcm, err := cipher.NewGCM(block)
	if err != nil {
		p.t.Fatal(err)
	}
	text, err := gcm.Open(nil, derive(ikm, salt, "Content-Encoding: nonce\x00", 12), sealed, nil)
	if err != nil {
		p.t.Errorf("a push that this browser cannot read: %v", err)
	}
	return bytes.TrimSuffix(bytes.TrimRight(text, "\x00"), []byte{2}) // padding, and the delimiter of the last record
}

// checkToken checks the token of the sender by RFC 8292: it is signed with the key in the
// header, for this service, and valid for a day at most.
func (p *pushService) checkToken(r *http.Request) {
	var token, key string
	header := r.Header.Get("Authorization")
	if _, err := fmt.Sscanf(strings.ReplaceAll(header, ", k=", " "), "vapid t=%s %s", &token, &key); err != nil {
		p.t.Errorf("Authorization %q: %v", header, err)
		return
	}
	parts := strings.Split(token, ".")
	decode := base64.RawURLEncoding.DecodeString
	point, _ := decode(key)
	public, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), point)
	sign, _ := decode(parts[2])
	sum := sha256.Sum256([]byte(parts[0] + "." + parts[1]))
	if err != nil || len(sign) != 64 {
		p.t.Errorf("key %q, signature of %d bytes: %v", key, len(sign), err)
		return
	}
	one, two := new(big.Int).SetBytes(sign[:32]), new(big.Int).SetBytes(sign[32:])
	if !ecdsa.Verify(public, sum[:], one, two) {
		p.t.Error("the token is not signed by the key beside it")
	}
	var claims struct {
		Aud, Sub string
		Exp      int64
	}
	text, _ := decode(parts[1])
	err = json.Unmarshal(text, &claims)
	left := time.Until(time.Unix(claims.Exp, 0))
	if err != nil || claims.Aud != p.base || claims.Sub != sitetest.WatchBase || left > 24*time.Hour ||
		left < time.Hour {
		p.t.Errorf("claims %s, %v", text, err)
	}
}

// deliverPushes sends queued pushes until none is left.
func deliverPushes(t *testing.T, l *sitetest.Lookout) {
	t.Helper()
	clock := sitetest.NewClock(time.Now())
	w := l.Watcher(clock.Now)
	for range 12 {
		if _, err := w.DeliverPushes(context.Background()); err != nil {
			t.Fatal(err)
		}
		clock.Pass(time.Minute)
	}
}

// An alarm is pushed to a coordinator's phone under one key, although the service fails first
// and then loses its response. When the subscription is gone, the desk says so and no more is
// sent to it.
func TestAlarmWakesAPhone(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	c := l.Pages(time.Now).SignIn(t, sitetest.Coordinator)
	service := newPushService(t, http.StatusServiceUnavailable, lostAnswer, http.StatusCreated, http.StatusCreated)
	c.Post("/wake", service.form()).Want(http.StatusNoContent)
	private := service.form()
	private.Set("endpoint", "https://10.0.0.1/x")
	c.Post("/wake", private).Want(http.StatusUnprocessableEntity)
	h := l.Overdue(35 * time.Minute)
	l.Watch(time.Now)
	deliverPushes(t, l)
	service.mu.Lock()
	defer service.mu.Unlock()
	byKey := map[string]int{}
	for _, w := range service.shown {
		byKey[w.Key]++
		if w.URL != fmt.Sprintf("/hikes/%d/watch", h.ID) || !strings.Contains(w.Title, "Dry Fork 01") {
			t.Errorf("shown %+v", w)
		}
		for _, name := range []string{"Amaya", "Juniper", "left"} { // a participant, the coordinator, a medical need
			if strings.Contains(w.Title+w.Body, name) {
				t.Errorf("%q stands in %+v", name, w)
			}
		}
	}
	twice := slices.Max(append(slices.Collect(maps.Values(byKey)), 0))
	want := l.Pairs(`SELECT key, state FROM outbox WHERE channel = 'push'`)
	if len(byKey) != len(want) || len(want) < 2 || twice != 2 {
		t.Errorf("shown %v, queued %v; want each, one of them twice", byKey, want)
	}
	c.Get(fmt.Sprintf("/hikes/%d/watch", h.ID)).Shows("phone woken")
}

func TestGoneSubscriptionIsReported(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	c := l.Pages(time.Now).SignIn(t, sitetest.Coordinator)
	service := newPushService(t, http.StatusGone)
	c.Post("/wake", service.form()).Want(http.StatusNoContent)
	c.Post("/wake/try", nil)
	deliverPushes(t, l)
	c.Post("/wake/try", nil) // no browser is left
	c.Get("/desk").Shows("Firefox on Android", "Not woken any more since", "answered 410", "/remove")
	if got := l.Pairs(`SELECT key, state FROM outbox WHERE channel = 'push'`); len(got) != 1 {
		t.Errorf("queued %v, want one and that given up", got)
	}
}

// A name that resolves to a private address is refused when it is dialed.
func TestPushRefusesPrivateAddresses(t *testing.T) {
	inside := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter,
		*http.Request) {
		t.Error("it was reached")
	}))
	defer inside.Close()
	named := strings.Replace(inside.URL, "127.0.0.1", "localhost", 1)
	for _, address := range []string{inside.URL, named} {
		p := newPushService(t)
		p.base = address
		_, err := site.Push(t.Context(), p.subscription(), []byte("{}"), false)
		if err == nil || !strings.Contains(err.Error(), "private address") {
			t.Errorf("%s: %v, want a refusal", address, err)
		}
	}
}

// The browser of the example in RFC 8291 (2017), section 5 and appendix A [F], can read both
// the published message and one that the site encrypts for it.
func TestPushFollowsTheStandard(t *testing.T) {
	decode := func(s string) []byte {
		b, err := base64.RawURLEncoding.DecodeString(s)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	p := newPushService(t)
	private, err := ecdh.P256().NewPrivateKey(decode("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"))
	if err != nil {
		t.Fatal(err)
	}
	p.private, p.auth = private, decode("BTBZMqHH6r4Tts7J_aSIgg")
	const public = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
	if !bytes.Equal(p.subscription().P256dh, decode(public)) {
		t.Fatal("the private key is not the one that belongs to the published public key")
	}
	const sealed = "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLoc" +
		"InmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj" +
		"_Qulcy4a-fN"
	if got := string(p.open(decode(sealed))); got != "When I grow up, I want to be a watermelon" {
		t.Errorf("the published message reads %q", got)
	}
	text, err := json.Marshal(message.PushText{Key: "k", Title: "When I grow up"})
	if err != nil {
		t.Fatal(err)
	}
	status, err := site.Push(t.Context(), p.subscription(), text, true)
	if err != nil || status != http.StatusCreated || len(p.shown) != 1 || p.shown[0].Title != "When I grow up" {
		t.Errorf("status %d, %v: shown %+v", status, err, p.shown)
	}
}

func TestTooLongPushIsRefused(t *testing.T) {
	p := newPushService(t)
	_, err := site.Push(t.Context(), p.subscription(), make([]byte, 5000), true)
	if !errors.Is(err, message.ErrRefused) {
		t.Errorf("got %v, want a refusal for good", err)
	}
}
