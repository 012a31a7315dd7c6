package accounts_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// A response without a challenge, and one without a signature, sign nobody in.
func TestInvalidPasskeyResponsesAreRefused(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Staffed, time.Now).Visitor(t)
	for _, tt := range []struct {
		name   string
		ask    bool
		answer string
	}{
		{"nothing was asked", false, "{}"},
		{"not an answer", true, "{}"},
		{"an account's number as the handle, and no signature", true, `{"id":"AQ","rawId":"AQ","type":"public-key",` +
			`"response":{"clientDataJSON":"e30","authenticatorData":"AA","signature":"AA","userHandle":"MQ"}}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := v.In(t)
			if tt.ask {
				v.Post("/sign-in/passkey/begin", nil).Want(http.StatusOK)
			}
			v.Post("/sign-in/passkey", url.Values{"answer": {tt.answer}}).Want(http.StatusUnprocessableEntity)
			if v.IsSignedIn() {
				t.Error("signed in")
			}
		})
	}
}
