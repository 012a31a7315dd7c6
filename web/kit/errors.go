package kit

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/message"
	"saltbush/web/ui"
)

// errorText is an error as a person sees it.
type errorText struct {
	status int
	title  string
	text   string
}

// faultOf turns an error into what a person is told. An unknown error is our fault, and its details
// stay in the log.
func faultOf(err error) errorText {
	var refusal fault.Refusal
	var invalid fault.Invalid
	var tooLarge *http.MaxBytesError
	switch {
	case errors.Is(err, fault.ErrNotFound), errors.Is(err, account.ErrNotFound), errors.Is(err, account.ErrLinkUnknown),
		errors.Is(err, message.ErrNotFound):
		return errorText{http.StatusNotFound, "Not here",
			"There is nothing at this address. The link may be old or mistyped."}
	case errors.Is(err, account.ErrLinkUsed), errors.Is(err, account.ErrLinkExpired),
		errors.Is(err, account.ErrLinkWithdrawn), errors.Is(err, account.ErrNotFirst):
		return errorText{http.StatusGone, "This link no longer works", Sentence(err)}
	case errors.Is(err, account.ErrNotAllowed):
		return errorText{http.StatusForbidden, "Not yours to open",
			"Your account may not do this. A coordinator can change that."}
	case errors.As(err, &refusal):
		return errorText{http.StatusConflict, "That cannot be done now", string(refusal)}
	case errors.As(err, &invalid):
		return errorText{http.StatusUnprocessableEntity, "Something in the form is not right", invalid.Error()}
	case errors.As(err, &tooLarge):
		return errorText{http.StatusRequestEntityTooLarge, "Too large", "What was sent is larger than this page takes."}
	}
	return errorText{http.StatusInternalServerError, "Our fault",
		"Something went wrong on our side. What you typed was not stored. Try again in a minute."}
}

// Sentence returns the text of the innermost error, which is written for people.
func Sentence(err error) string {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err.Error()
		}
		err = inner
	}
}

// Fail answers a request whose handler returned an error: it sends the viewer to sign in where that
// may help, and else shows a page. It logs errors that are our fault.
func (s *Kit) Fail(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, context.Canceled) {
		return // the client has gone
	}
	if errors.Is(err, account.ErrSignIn) {
		http.Redirect(w, r, "/sign-in?next="+url.QueryEscape(safeNext(r)), http.StatusSeeOther)
		return
	}
	if errors.Is(err, account.ErrSecondStep) {
		http.Redirect(w, r, "/account/two-step", http.StatusSeeOther)
		return
	}
	f := faultOf(err)
	if f.status >= http.StatusInternalServerError {
		s.Log.Error("request failed", "method", r.Method, "path", r.URL.Path, "err", err)
	}
	page := ui.ErrorPage{
		Page: s.Page(r, f.title, ""), Code: strconv.Itoa(f.status), Title: f.title, Text: f.text,
		Way: ui.ButtonText{Label: "See the hikes", URL: "/", Kind: ui.ButtonMain},
	}
	_ = s.Render(w, r, f.status, ui.Error(page)) // nothing is left to say when this fails too
}

// safeNext returns the path to come back to after signing in: only one that can be requested with
// GET.
func safeNext(r *http.Request) string {
	if r.Method != http.MethodGet {
		return "/desk"
	}
	return r.URL.RequestURI()
}

// Leaves returns the single errors that were joined into one.
func Leaves(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, e := range joined.Unwrap() {
		all = append(all, Leaves(e)...)
	}
	return all
}
