package account

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
)

// Errors of codes, worded for the person who typed one.
var (
	ErrCodeWrong = errors.New("this is not the code of now: type the newest one, and see that the phone's clock is " +
		"right")
	ErrCodeUsed    = errors.New("this code has been used: wait for the next one, half a minute at most")
	ErrCodeTooMany = errors.New("too many wrong codes: wait before you try again")
)

// ErrSecondStep is returned by May for a coordinator who has signed in with a password alone
// while the house requires a second step.
var ErrSecondStep = errors.New("set up the second step first")

// After every five wrong codes in a row, the account waits before it accepts another.
// Our judgment: five wrong codes mean a wrong clock or a stranger. Each wait is twice as long
// as the last, up to a day. The hundred guesses that NIST SP 800-63B (2017), section 5.2.2,
// allows take almost two weeks, and each has a chance of three in a million.
const (
	wrongCodes    = 5
	firstCodeWait = 15 * time.Minute
	maxCodeWait   = 24 * time.Hour
)

// RecoveryCodes is how many one-time codes a person gets for a lost phone.
// Our judgment: ten last for years.
const RecoveryCodes = 10

// recoveryBytes is the size of a recovery code: 120 bits, 24 letters.
// NIST SP 800-63B (2017), section 5.1.2.2: from 112 bits on a plain hash is enough.
const recoveryBytes = 15

// TwoStep is the second step of an account: a code from an authenticator app after the
// password. The zero value has none.
type TwoStep struct {
	Key      CodeKey
	Since    time.Time // when it was set up
	LastStep int64     // step of the last accepted code: no code is accepted twice
	Wrong    int       // wrong codes in a row
	Until    time.Time // no code is accepted before
	Recovery []Hash    // hashes of the unused recovery codes
}

// On reports whether the account asks for a code after the password.
func (t TwoStep) On() bool { return !t.Key.IsZero() }

// SetUp sets the key if the code proves that the person's app has it. It is ErrCodeWrong if
// not.
func (t *TwoStep) SetUp(k CodeKey, code string, now time.Time) error {
	step, ok := k.stepOf(tidyCode(code), now)
	if !ok {
		return ErrCodeWrong
	}
	*t = TwoStep{Key: k, Since: now, LastStep: step}
	return nil
}

// Enter checks a code or a recovery code; each is accepted once. It is ErrCodeWrong,
// ErrCodeUsed or ErrCodeTooMany if refused. The caller must store t in either case.
func (t *TwoStep) Enter(code string, now time.Time) error {
	if now.Before(t.Until) {
		return ErrCodeTooMany
	}
	err := t.take(tidyCode(code), now)
	if err != nil {
		t.Wrong++
		if wait := codeWait(t.Wrong); wait > 0 {
			t.Until = now.Add(wait)
		}
		return err
	}
	t.Wrong, t.Until = 0, time.Time{}
	return nil
}

func (t *TwoStep) take(code string, now time.Time) error {
	if len(code) > codeDigits {
		return t.takeRecovery(code)
	}
	step, ok := t.Key.stepOf(code, now)
	switch {
	case !ok:
		return ErrCodeWrong
	case step <= t.LastStep:
		return ErrCodeUsed
	}
	t.LastStep = step
	return nil
}

func (t *TwoStep) takeRecovery(code string) error {
	given := sha256.Sum256([]byte(code))
	found := -1
	for i, h := range t.Recovery {
		if subtle.ConstantTimeCompare(h[:], given[:]) == 1 {
			found = i
		}
	}
	if found < 0 {
		return ErrCodeWrong
	}
	t.Recovery = slices.Delete(t.Recovery, found, found+1)
	return nil
}

// codeWait returns how long to wait after so many wrong codes in a row.
func codeWait(wrong int) time.Duration {
	if wrong == 0 || wrong%wrongCodes != 0 {
		return 0
	}
	wait := firstCodeWait
	for range wrong/wrongCodes - 1 {
		wait = min(2*wait, maxCodeWait)
	}
	return wait
}

// NewRecovery replaces the recovery codes by new ones and returns them to be shown once.
func (t *TwoStep) NewRecovery(random io.Reader) ([]string, error) {
	var codes []string
	t.Recovery = nil
	for range RecoveryCodes {
		raw := make([]byte, recoveryBytes)
		if _, err := io.ReadFull(random, raw); err != nil {
			return nil, fmt.Errorf("draw a recovery code: %w", err)
		}
		code := strings.ToLower(letters().EncodeToString(raw))
		t.Recovery = append(t.Recovery, sha256.Sum256([]byte(code)))
		codes = append(codes, inFours(code))
	}
	return codes, nil
}

// tidyCode removes spaces and hyphens from a code.
func tidyCode(code string) string {
	return strings.ToLower(strings.NewReplacer(" ", "", "-", "", "\t", "", "\u00a0", "").Replace(code))
}

// TwoStepStore stores second steps. Every method is one transaction.
type TwoStepStore interface {
	// TwoStep returns the account's second step, or the zero value.
	TwoStep(ctx context.Context, of ID) (TwoStep, error)

	// ChangeTwoStep calls change with the row locked and stores the result. Of two concurrent
	// uses of one code one succeeds.
	ChangeTwoStep(ctx context.Context, of ID, change func(*TwoStep)) error

	// TwoSteps returns the accounts that have a second step, by code or by passkey.
	TwoSteps(ctx context.Context) (map[ID]bool, error)

	// AskTwoStep records since when the account is asked to set up a second step, if it is not
	// recorded yet, and returns the time on record.
	AskTwoStep(ctx context.Context, of ID, now time.Time) (time.Time, error)
}
