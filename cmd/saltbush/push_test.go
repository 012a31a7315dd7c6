package main

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
	"fmt"
	"io"
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
)

// pushService is a push service with one browser behind it, which decrypts what arrives
// as RFC 8291 says, apart from the code under test.
type pushService struct {
	t       *testing.T
	private *ecdh.PrivateKey
	auth    []byte
	base    string
	mu      sync.Mutex
	answers []int // one for each arrival, then 201
	shown   []message.Wake
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

// form is what the browser's script sends to the site.
func (p *pushService) form() url.Values {
	b64 := base64.RawURLEncoding.EncodeToString
	return url.Values{"endpoint": {p.base + "/send/abc"}, "p256dh": {b64(p.private.PublicKey().Bytes())}, "auth": {b64(p.auth)}, "label": {"Firefox on Android"}}
}

func (p *pushService) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		p.t.Error(err)
	}
	p.checkToken(r)
	var wake message.Wake
	if err := json.Unmarshal(p.open(body), &wake); err != nil {
		p.t.Errorf("decrypted: %v", err)
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

// lostAnswer stands for an arrival whose answer never reaches the sender.
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
	return bytes.TrimSuffix(text, []byte{2})
}

// checkToken holds the sender's token to RFC 8292: signed by the key beside it, for this
// service, and not for longer than a day.
func (p *pushService) checkToken(r *http.Request) {
	var token, key string
	if _, err := fmt.Sscanf(strings.ReplaceAll(r.Header.Get("Authorization"), ", k=", " "), "vapid t=%s %s", &token, &key); err != nil {
		p.t.Errorf("Authorization %q: %v", r.Header.Get("Authorization"), err)
		return
	}
	parts := strings.Split(token, ".")
	decode := base64.RawURLEncoding.DecodeString
	point, _ := decode(key)
	public, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), point)
	sign, _ := decode(parts[2])
	sum := sha256.Sum256([]byte(parts[0] + "." + parts[1]))
	if err != nil || len(sign) != 64 || !ecdsa.Verify(public, sum[:], new(big.Int).SetBytes(sign[:32]), new(big.Int).SetBytes(sign[32:])) {
		p.t.Errorf("the token is not signed by the key beside it: %v", err)
	}
	var claims struct {
		Aud, Sub string
		Exp      int64
	}
	text, _ := decode(parts[1])
	if err := json.Unmarshal(text, &claims); err != nil || claims.Aud != p.base || claims.Sub != "https://hikes.example.org" ||
		time.Until(time.Unix(claims.Exp, 0)) > 24*time.Hour || time.Until(time.Unix(claims.Exp, 0)) < time.Hour {
		p.t.Errorf("claims %s, %v", text, err)
	}
}

// deliverPushes empties the queue of pushes, however often each has to be tried.
func (l *lookout) deliverPushes() {
	l.t.Helper()
	ctx := context.Background()
	keys, err := l.db.PushKeys(ctx, time.Now())
	if err != nil {
		l.t.Fatal(err)
	}
	sender := message.NewPush(keys, "https://hikes.example.org", l.db, true, time.Now, newPusher(true))
	ahead := time.Duration(0)
	for range 12 {
		clock := func() time.Time { return time.Now().Add(ahead) }
		if _, err := message.Deliver(ctx, l.db.OutboxOf(message.ByPush), sender, clock, pushPolicy()); err != nil {
			l.t.Fatal(err)
		}
		ahead += time.Minute
	}
}

// A coordinator's phone is woken by the alarm of a hike, once under one key although the
// service fails first and then loses its answer; when nobody listens there any more, the
// desk says so and nothing goes there again.
func TestAlarmWakesAPhone(t *testing.T) {
	l := newLookout(t)
	l.letIn(coordinatorMail)
	site := l.site(time.Now)
	c := site.signIn(t, coordinatorMail)
	service := newPushService(t, http.StatusServiceUnavailable, lostAnswer, http.StatusCreated, http.StatusCreated)
	if got := post(t, c, site.base+"/wake", service.form()); got != http.StatusNoContent {
		t.Fatalf("subscribe: status %d", got)
	}
	if got := post(t, c, site.base+"/wake", url.Values{"endpoint": {"https://10.0.0.1/x"}, "p256dh": service.form()["p256dh"], "auth": service.form()["auth"]}); got != http.StatusUnprocessableEntity {
		t.Errorf("a private address: status %d", got)
	}
	h := overdue(t, l, 35*time.Minute)
	if err := l.watcher(time.Now).pass(context.Background()); err != nil {
		t.Fatal(err)
	}
	l.deliverPushes()
	service.mu.Lock()
	defer service.mu.Unlock()
	byKey := map[string]int{}
	for _, w := range service.shown {
		byKey[w.Key]++
		if w.URL != fmt.Sprintf("/hikes/%d/watch", h.ID) || !strings.Contains(w.Title, "Dry Fork 01") {
			t.Errorf("shown %+v", w)
		}
		for _, name := range []string{"Amaya", "Juniper", "left"} { // a walker, the coordinator, a need
			if strings.Contains(w.Title+w.Body, name) {
				t.Errorf("%q stands in %+v", name, w)
			}
		}
	}
	twice := slices.Max(append([]int{0}, values(byKey)...))
	if want := l.pairs(`SELECT key, state FROM outbox WHERE channel = 'push'`); len(byKey) != len(want) || len(want) < 2 || twice != 2 {
		t.Errorf("shown %v, queued %v; want each, one of them twice", byKey, want)
	}
	_, page := get(t, c, fmt.Sprintf("%s/hikes/%d/watch", site.base, h.ID))
	if !strings.Contains(page, "phone woken") {
		t.Error("the watch does not say that a phone was woken")
	}
}

func values(m map[string]int) (list []int) {
	for _, v := range m {
		list = append(list, v)
	}
	return list
}

func TestAPhoneThatIsGoneIsSaid(t *testing.T) {
	l := newLookout(t)
	l.letIn(coordinatorMail)
	site := l.site(time.Now)
	c := site.signIn(t, coordinatorMail)
	service := newPushService(t, http.StatusGone)
	if got := post(t, c, site.base+"/wake", service.form()); got != http.StatusNoContent {
		t.Fatalf("subscribe: status %d", got)
	}
	post(t, c, site.base+"/wake/try", nil)
	l.deliverPushes()
	post(t, c, site.base+"/wake/try", nil) // nobody is left to wake
	_, page := get(t, c, site.base+"/desk")
	for _, want := range []string{"Firefox on Android", "Not woken any more since", "answered 410", "/remove"} {
		if !strings.Contains(page, want) {
			t.Errorf("the desk does not say %q", want)
		}
	}
	if got := l.pairs(`SELECT key, state FROM outbox WHERE channel = 'push'`); len(got) != 1 {
		t.Errorf("queued %v, want one and that given up", got)
	}
}

// A name that leads to a private address is found out when it is dialled.
func TestPushesAreNotDialledIntoTheHouse(t *testing.T) {
	inside := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { t.Error("it was reached") }))
	defer inside.Close()
	named := strings.Replace(inside.URL, "127.0.0.1", "localhost", 1)
	for _, address := range []string{inside.URL, named} {
		if _, err := newPusher(false).Post(context.Background(), address, nil, nil); err == nil || !strings.Contains(err.Error(), "private address") {
			t.Errorf("%s: %v, want a refusal", address, err)
		}
	}
}
