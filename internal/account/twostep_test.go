package account_test

import (
	"crypto/rand"
	"errors"
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
)

// RFC 6238 (2011), appendix B: the times of its table and the steps T printed beside them. [M]
func TestCodeStepHasRFCValues(t *testing.T) {
	for seconds, want := range map[int64]int64{59: 0x1, 1111111109: 0x23523EC, 1111111111: 0x23523ED,
		1234567890: 0x273EF07, 2000000000: 0x3F940AA, 20000000000: 0x27BC86AA} {
		if got := account.CodeStep(time.Unix(seconds, 0)); got != want {
			t.Errorf("CodeStep at %d = %#x, want %#x", seconds, got, want)
		}
	}
}

var noon = time.Date(2026, 5, 10, 12, 0, 5, 0, time.UTC)

// setUpAtNoon returns a second step set up at noon, its key, and a time a minute later.
func setUpAtNoon(t *testing.T) (account.TwoStep, account.CodeKey, time.Time) {
	t.Helper()
	k, err := account.NewCodeKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	var s account.TwoStep
	if err := s.SetUp(k, k.CodeAt(account.CodeStep(noon)), noon); err != nil {
		t.Fatal(err)
	}
	return s, k, noon.Add(time.Minute)
}

func TestSetUpChecksTheCode(t *testing.T) {
	k, _ := account.NewCodeKey(rand.Reader)
	var s account.TwoStep
	if err := s.SetUp(k, k.CodeAt(account.CodeStep(noon)+5), noon); !errors.Is(err, account.ErrCodeWrong) || s.On() {
		t.Errorf("SetUp with another code: %v, on %v", err, s.On())
	}
	if err := s.SetUp(account.CodeKey{}, "000000", noon); !errors.Is(err, account.ErrCodeWrong) || s.On() {
		t.Errorf("SetUp without a key: %v, on %v", err, s.On())
	}
}

func TestEnter(t *testing.T) {
	tests := []struct {
		name string
		step int64 // relative to the current one
		want error
	}{
		{"current", 0, nil},
		{"one before, delayed", -1, nil},
		{"one after, fast clock", 1, nil},
		{"two before", -2, account.ErrCodeWrong},
		{"two after", 2, account.ErrCodeWrong},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, k, now := setUpAtNoon(t)
			if err := s.Enter(k.CodeAt(account.CodeStep(now)+tt.step), now); !errors.Is(err, tt.want) {
				t.Errorf("Enter = %v, want %v", err, tt.want)
			}
		})
	}
}

func TestCodeWorksOnce(t *testing.T) {
	s, k, now := setUpAtNoon(t)
	if err := s.Enter(k.CodeAt(account.CodeStep(noon)), noon); !errors.Is(err, account.ErrCodeUsed) {
		t.Errorf("the code of SetUp again: %v", err)
	}
	code := k.CodeAt(account.CodeStep(now))
	if err := s.Enter(" "+code[:3]+" "+code[3:], now); err != nil {
		t.Fatalf("with spaces: %v", err)
	}
	if err := s.Enter(code, now); !errors.Is(err, account.ErrCodeUsed) {
		t.Errorf("again: %v", err)
	}
	if err := s.Enter(k.CodeAt(account.CodeStep(now)-1), now); !errors.Is(err, account.ErrCodeUsed) {
		t.Errorf("an older code after a newer: %v", err)
	}
}

func TestRecoveryCodesWorkOnceEach(t *testing.T) {
	s, _, now := setUpAtNoon(t)
	codes, err := s.NewRecovery(rand.Reader)
	if err != nil || len(codes) != account.RecoveryCodes {
		t.Fatalf("%d codes, %v", len(codes), err)
	}
	typed := strings.ToUpper(strings.ReplaceAll(codes[3], " ", "-"))
	if err := s.Enter(typed, now); err != nil {
		t.Fatalf("Enter(%q) = %v", typed, err)
	}
	if err := s.Enter(codes[3], now); !errors.Is(err, account.ErrCodeWrong) || len(s.Recovery) != 9 {
		t.Errorf("again: %v, %d left", err, len(s.Recovery))
	}
	if _, err := s.NewRecovery(rand.Reader); err != nil {
		t.Fatal(err)
	}
	if err := s.Enter(codes[4], now); !errors.Is(err, account.ErrCodeWrong) {
		t.Errorf("a replaced code: %v", err)
	}
}

// Each wait is twice as long as the last, and the right code is refused during a wait too.
func TestWrongCodesMakeAWait(t *testing.T) {
	s, k, now := setUpAtNoon(t)
	var waits []time.Duration
	for guess := range 100 {
		if now.Before(s.Until) {
			if err := s.Enter(k.CodeAt(account.CodeStep(now)), now); !errors.Is(err, account.ErrCodeTooMany) {
				t.Fatalf("guess %d: the right code in the wait: %v", guess, err)
			}
			waits = append(waits, s.Until.Sub(now))
			now = s.Until
		}
		if err := s.Enter("no code", now); !errors.Is(err, account.ErrCodeWrong) {
			t.Fatalf("guess %d: %v", guess, err)
		}
	}
	if waits[0] != 15*time.Minute || waits[1] != 30*time.Minute || waits[len(waits)-1] != 24*time.Hour {
		t.Errorf("waits %v", waits)
	}
	if spent := now.Sub(noon); spent < 11*24*time.Hour {
		t.Errorf("a hundred guesses take %v", spent)
	}
	now = s.Until
	if err := s.Enter(k.CodeAt(account.CodeStep(now)), now); err != nil || s.Wrong != 0 {
		t.Errorf("the right code after the wait: %v, %d wrong", err, s.Wrong)
	}
}

func TestCodeKeyIsHidden(t *testing.T) {
	k := account.CodeKeyFromBytes([]byte("12345678901234567890"))
	// The base32 form of this key is widely published.
	const text = "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ"
	if k.Reveal() != text {
		t.Errorf("Reveal = %q", k.Reveal())
	}
	for _, shown := range []string{fmt.Sprint(k), fmt.Sprintf("%#v", k), k.LogValue().String()} {
		if strings.Contains(shown, "GEZD") || strings.Contains(shown, "1234") {
			t.Errorf("shown as %q", shown)
		}
	}
	u, err := url.Parse(k.URI("Sill Basin Walkers", "a+b@example.org"))
	if err != nil || u.Scheme != "otpauth" || u.Host != "totp" || u.Path != "/Sill Basin Walkers:a+b@example.org" ||
		u.Query().Get("secret") != strings.ReplaceAll(text, " ", "") ||
		u.Query().Get("issuer") != "Sill Basin Walkers" {
		t.Errorf("URI %v, %v", u, err)
	}
}

func TestPendingTwoFactor(t *testing.T) {
	on := account.Subject{Hike: 7, Posted: true, Today: true, Staff: []account.ID{3}}
	pure := account.PendingTwoFactor(account.Account{ID: 2, Active: true, Roles: []account.Role{account.Coordinator}})
	both := account.PendingTwoFactor(account.Account{ID: 3, Active: true,
		Roles: []account.Role{account.Coordinator, account.Leader}})
	tests := []struct {
		name   string
		viewer account.Viewer
		action account.Action
		want   error
	}{
		{"people", pure, account.ManagePeople, account.ErrSecondStep},
		{"rules of the house", both, account.ManageSettings, account.ErrSecondStep},
		{"a hike", pure, account.ManageHike, account.ErrSecondStep},
		{"a hike that they lead", both, account.ManageHike, nil},
		{"its roll", both, account.TakeRoll, nil},
		{"the board", pure, account.SeeBoard, nil},
		{"a watch of today", pure, account.KeepWatch, nil},
		{"one's own account", pure, account.SeeAccount, nil},
		{"unknown action", pure, "fly", account.ErrNotAllowed},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := account.May(tt.viewer, tt.action, on); !errors.Is(err, tt.want) {
				t.Errorf("May(%q) = %v, want %v", tt.action, err, tt.want)
			}
		})
	}
}
