package account_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
)

func TestCheckPassword(t *testing.T) {
	who := account.Account{Name: "Marisol Quennell", Email: "marisol.quennell@example.org"}
	tests := []struct {
		name, password, want string // want is a part of the message; empty: accepted
	}{
		{"four words pass", "ledge copper kettle nine", ""},
		{"twelve mixed characters pass", "v7Lq-2tRw9zK", ""},
		{"a common word inside others passes", "password of the old mill", ""},
		{"256 characters pass", strings.Repeat("dune", 63) + "crow", ""},
		{"accents count as one character each", "\u00e9\u00e8\u00ea\u00eb\u00e0\u00e2\u00e4\u00fc\u00f6\u00ef\u00ee",
			"11 characters"},
		{"eleven characters fail", "v7Lq-2tRw9z", "11 characters"},
		{"empty fails", "", "0 characters"},
		{"257 characters fail", strings.Repeat("dune", 64) + "x", "at most 256"},
		{"bytes that are not text fail", "v7Lq-2tRw9z\xff\xfe", "not text"},
		{"the name fails", "Marisol Quennell", "your name"},
		{"the name with a year fails", "MarisolQuennell2026", "your name"},
		{"the e-mail fails", "marisol.quennell@example.org", "your e-mail"},
		{"the e-mail before the at fails", "Marisol.Quennell!", "your name"},
		{"password and digits fail", "Password123456", "first that others would try"},
		{"password twice fails", "passwordPassword", "first that others would try"},
		{"a season and a year fail", "Summer-2026!!", "first that others would try"},
		{"one character over and over fails", "zzzzzzzzzzzzzz", "first that others would try"},
		{"two characters in turn fail", "xyxyxyxyxyxyxy", "first that others would try"},
		{"nothing but marks fails", "!!!!----!!!!", "first that others would try"},
		{"a run of digits fails", "123456789012", "first that others would try"},
		{"a run on the keyboard fails", "qwertyuiopas", "first that others would try"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := account.CheckPassword(tt.password, who)
			if (err == nil) != (tt.want == "") || (err != nil && !strings.Contains(err.Error(), tt.want)) {
				t.Errorf("CheckPassword(%q) = %v, want an error with %q", tt.password, err, tt.want)
			}
			if err != nil && tt.password != "" && strings.Contains(err.Error(), tt.password) {
				t.Errorf("CheckPassword(%q) repeats the password: %v", tt.password, err)
			}
		})
	}
}

// cheapHasher is fast enough for many hashes in a test.
func cheapHasher(limit int) *account.Hasher {
	return account.NewHasherAt(limit, account.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1})
}

func mustHash(t *testing.T, h *account.Hasher, password string) string {
	t.Helper()
	hash, err := h.Hash(t.Context(), password)
	if err != nil {
		t.Fatalf("Hash: %v", err)
	}
	return hash
}

func TestVerify(t *testing.T) {
	h := cheapHasher(2)
	hash := mustHash(t, h, "caf\u00e9 on the corner")
	tests := []struct {
		name, password, hash string
		want                 bool
		err                  error
	}{
		{"the same password is true", "caf\u00e9 on the corner", hash, true, nil},
		{"an accent typed as two marks is true", "cafe\u0301 on the corner", hash, true, nil},
		{"another password is false", "cafe on the corner", hash, false, nil},
		{"no password is false", "", hash, false, nil},
		{"an unknown e-mail is false", "caf\u00e9 on the corner", "", false, nil},
		{"a huge password is false", strings.Repeat("x", 1<<20), hash, false, nil},
		{"a hash of another kind is damaged", "x", "$2a$10$abcdefghijklmnopqrstuv", false, account.ErrBadHash},
		{"no passes is damaged", "x", strings.Replace(hash, "t=1", "t=0", 1), false, account.ErrBadHash},
		{"no lanes is damaged", "x", strings.Replace(hash, "p=1", "p=0", 1), false, account.ErrBadHash},
		{"too much memory is damaged", "x", strings.Replace(hash, "m=64", "m=4294967295", 1), false,
			account.ErrBadHash},
		{"no key is damaged", "x", hash[:strings.LastIndex(hash, "$")+1], false, account.ErrBadHash},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := h.Verify(t.Context(), tt.password, tt.hash)
			if got != tt.want || !errors.Is(err, tt.err) {
				t.Errorf("Verify(.., %q) = %v, %v, want %v, %v", tt.hash, got, err, tt.want, tt.err)
			}
		})
	}
}

func TestHashesDiffer(t *testing.T) {
	h := cheapHasher(1)
	if a, b := mustHash(t, h, "the same words"), mustHash(t, h, "the same words"); a == b {
		t.Errorf("two hashes of one password are both %q", a)
	}
}

func TestDefaultCostIsInTheHash(t *testing.T) {
	h := account.NewHasher(1)
	hash := mustHash(t, h, "ledge copper kettle nine")
	if want := "$argon2id$v=19$m=65536,t=1,p=2$"; !strings.HasPrefix(hash, want) {
		t.Errorf("hash %q does not begin with %q", hash, want)
	}
}

func TestUnknownEmailTakesAsLong(t *testing.T) {
	h := account.NewHasher(1)
	hash := mustHash(t, h, "ledge copper kettle nine")
	known, unknown := quickest(t, h, hash), quickest(t, h, "")
	// Our judgment: wide bounds, because other programs run on the test machine. Without a
	// hash the ratio would be in the thousands.
	if ratio := float64(known) / float64(unknown); ratio > 4 || ratio < 0.25 {
		t.Errorf("known e-mail %v, unknown %v: the delay tells them apart", known, unknown)
	}
}

// quickest is the shortest time of four calls of Verify.
func quickest(t *testing.T, h *account.Hasher, hash string) time.Duration {
	t.Helper()
	best := time.Hour
	for range 4 {
		start := time.Now()
		if ok, err := h.Verify(t.Context(), "some other words here", hash); ok || err != nil {
			t.Fatalf("Verify = %v, %v", ok, err)
		}
		best = min(best, time.Since(start))
	}
	return best
}

func TestHasherRespectsContext(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	h := cheapHasher(1)
	if _, err := h.Hash(ended, "ledge copper kettle nine"); !errors.Is(err, context.Canceled) {
		t.Errorf("Hash with an ended context: %v", err)
	}
	if _, err := h.Verify(ended, "ledge copper kettle nine", ""); !errors.Is(err, context.Canceled) {
		t.Errorf("Verify with an ended context: %v", err)
	}
}

func BenchmarkHash(b *testing.B) {
	h := account.NewHasher(1)
	for b.Loop() {
		if _, err := h.Hash(b.Context(), "ledge copper kettle nine"); err != nil {
			b.Fatal(err)
		}
	}
}
