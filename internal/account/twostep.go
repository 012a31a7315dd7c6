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

// Kinds of refusal of a code, in words for the person who typed it.
var (
	ErrCodeWrong = errors.New("this is not the code of now: type the newest one, and see that the phone's clock is " +
		"right")
	ErrCodeUsed    = errors.New("this code has been used: wait for the next one, half a minute at most")
	ErrCodeTooMany = errors.New("too many wrong codes: wait before you try again")
)

// ErrSecondStep is the refusal of what coordinators do to one who signs in with a
// password alone though the house asks for more.
var ErrSecondStep = errors.New("set up the second step first")

// How often a wrong code is taken before a wait, and how long the waits are.
// House judgement: five in a row are a wrong clock or a stranger. Each further five double
// the wait, up to a day: a hundred guesses, the most that NIST SP 800-63B (2017), section
// 5.2.2, allows, take most of a fortnight, and each hits one of three codes in a million.
const (
	wrongCodes    = 5
	firstCodeWait = 15 * time.Minute
	mostCodeWait  = 24 * time.Hour
)

// RecoveryCodes is how many one-time codes there are for a lost phone.
// House judgement: a sheet of ten lasts for years.
const RecoveryCodes = 10

// Bytes of randomness in a recovery code: 120 bits, 24 letters.
// NIST SP 800-63B (2017), section 5.1.2.2: from 112 bits on a plain hash is enough.
const recoveryBytes = 15

// TwoStep is the second step of one account: a code from an authenticator program after
// the password. The zero value is that it has none.
type TwoStep struct {
	Key      CodeKey
	Since    time.Time // when it was set up
	LastStep int64     // of the last code that was taken: no code is taken twice
	Wrong    int       // codes in a row that were not taken
	Until    time.Time // no code is looked at before
	Recovery []Hash    // of the codes that are left
}

// On tells whether a code is asked for after the password.
func (t TwoStep) On() bool { return !t.Key.IsZero() }

// SetUp begins with a key, where the code shows that the person's program has it too.
func (t *TwoStep) SetUp(k CodeKey, code string, now time.Time) error {
	step, ok := k.stepOf(tidyCode(code), now)
	if !ok {
		return ErrCodeWrong
	}
	*t = TwoStep{Key: k, Since: now, LastStep: step}
	return nil
}

// Enter takes a code, or one of the recovery codes, which is used up by it. It is
// ErrCodeWrong, ErrCodeUsed or ErrCodeTooMany; the caller stores what changed either way.
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

// codeWait is how long no code is looked at after so many wrong ones in a row.
func codeWait(wrong int) time.Duration {
	if wrong == 0 || wrong%wrongCodes != 0 {
		return 0
	}
	wait := firstCodeWait
	for range wrong/wrongCodes - 1 {
		wait = min(2*wait, mostCodeWait)
	}
	return wait
}

// NewRecovery draws ten recovery codes in place of those that there were, and returns them
// as they are written down, this once.
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

// tidyCode takes away what people put into a code to read it better.
func tidyCode(code string) string {
	return strings.ToLower(strings.NewReplacer(" ", "", "-", "", "\t", "", "\u00a0", "").Replace(code))
}

// TwoStepStore keeps second steps. Every method is one transaction.
type TwoStepStore interface {
	// TwoStep returns the account's second step; the zero value where it has none.
	TwoStep(ctx context.Context, of ID) (TwoStep, error)

	// ChangeTwoStep changes it with the row locked, so that of one code sent twice at once
	// one is taken. What change leaves is stored.
	ChangeTwoStep(ctx context.Context, of ID, change func(*TwoStep)) error

	// TwoSteps returns the accounts that have a second step, by code or by passkey.
	TwoSteps(ctx context.Context) (map[ID]bool, error)

	// AskTwoStep notes since when the account is asked for a second step. The first note
	// stands, and is returned.
	AskTwoStep(ctx context.Context, of ID, now time.Time) (time.Time, error)
}
