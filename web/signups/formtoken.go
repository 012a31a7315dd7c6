package signups

import (
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

const (
	// fastestForm is the least time between opening and sending a form. Our judgment: nobody fills
	// in a page of questions in two seconds.
	fastestForm = 2 * time.Second
	// formTokenLife is how long a form may stay open. Our judgment: somebody may ask at home for a
	// day.
	formTokenLife = 24 * time.Hour
	// SignUpTries is how many requests a minute one address may send. Our judgment: a whole club
	// behind one address may sign up in a minute; more than this is a machine.
	SignUpTries = 240
)

// Reasons to show a form again. It keeps everything that was typed.
const (
	errTooFast   = fault.Refusal("This came faster than a person can write. Look it over and send it once more.")
	errStaleForm = fault.Refusal("This page was open for long, or was not opened here. " +
		"Look it over and send it once more.")
	errFilledIn = fault.Refusal("A field that people do not see was filled in. " +
		"If a program fills in your forms, send this one by hand.")
)

// formToken returns the token that came with a form while it is valid, else a new one.
func (s *Handlers) formToken(r *http.Request, id ref.Hike, came string) string {
	if _, err := s.formTokenTime(r, id, came); err == nil {
		return came
	}
	stamp := strconv.FormatInt(s.Now().Unix(), 10)
	key, err := s.Hikes.FormKey(r.Context())
	if err != nil {
		s.Log.Error("load form key", "err", err)
		return ""
	}
	return stamp + "." + signFormToken(key, id, stamp)
}

// signFormToken signs the time at which the form of a hike was opened (RFC 2104 HMAC).
func signFormToken(key []byte, id ref.Hike, stamp string) string {
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "sign-up %d %s", id, stamp)
	return hex.EncodeToString(mac.Sum(nil))
}

// formTokenTime returns when a form was opened, or an error where the token is not ours or too old.
func (s *Handlers) formTokenTime(r *http.Request, id ref.Hike, seal string) (time.Time, error) {
	stamp, signature, ok := strings.Cut(seal, ".")
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if !ok || err != nil {
		return time.Time{}, errStaleForm
	}
	key, err := s.Hikes.FormKey(r.Context())
	if err != nil {
		return time.Time{}, err
	}
	at := time.Unix(seconds, 0)
	ours := subtle.ConstantTimeCompare([]byte(signature), []byte(signFormToken(key, id, stamp))) == 1
	if !ours || s.Now().Sub(at) > formTokenLife {
		return time.Time{}, errStaleForm
	}
	return at, nil
}

// checkFormToken checks that a person filled in the form: it was opened here, not a moment ago, and
// the field that people cannot see is empty.
func (s *Handlers) checkFormToken(r *http.Request, id ref.Hike) error {
	if r.PostFormValue("website") != "" {
		return errFilledIn
	}
	at, err := s.formTokenTime(r, id, r.PostFormValue("seal"))
	if err == nil && s.Now().Sub(at) < fastestForm {
		return errTooFast
	}
	return err
}

// renderSignUpAgain shows the form again with all that was typed, and why.
func (s *Handlers) renderSignUpAgain(w http.ResponseWriter, r *http.Request, t hike.Data, why error) error {
	if !errors.Is(why, errTooFast) && !errors.Is(why, errStaleForm) && !errors.Is(why, errFilledIn) {
		return why
	}
	p := s.signUpPage(r, t, kit.FormStateOf(r, nil))
	p.Again = ui.NoteText{Kind: ui.NoteCaution, Title: "Once more, please", Text: why.Error()}
	return s.Render(w, r, http.StatusUnprocessableEntity, view.Signup(p))
}
