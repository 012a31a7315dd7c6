package accounts

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strconv"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"saltbush/internal/account"
	"saltbush/internal/fault"
)

// passkeyOrigin is the only address at which passkeys of this site work; false where there
// is none. Passkeys belong to a name, never to a number: for this machine's own number it
// is localhost.
func (s *Handlers) passkeyOrigin() (origin, name string, ok bool) {
	u, err := url.Parse(s.BaseURL)
	if err != nil {
		return "", "", false
	}
	name = u.Hostname()
	if ip := net.ParseIP(name); ip != nil && ip.IsLoopback() {
		name, u.Host = "localhost", net.JoinHostPort("localhost", u.Port())
	}
	safe := u.Scheme == "https" || name == "localhost" // W3C Secure Contexts (2023), section 3.1
	return u.Scheme + "://" + u.Host, name, safe && protocol.ValidateRPID(name) == nil
}

// errNoPasskeys is the refusal where the site's address is not fit for passkeys.
const errNoPasskeys = fault.Refusal("Passkeys need this site to have a name and https. Whoever runs it sets that.")

// checker checks what passkeys sign. Every signature is asked to come after a look at who
// holds the key, so that one passkey is two steps.
func (s *Handlers) checker(ctx context.Context) (*webauthn.WebAuthn, error) {
	origin, name, ok := s.passkeyOrigin()
	if !ok {
		return nil, errNoPasskeys
	}
	return webauthn.New(&webauthn.Config{
		RPID: name, RPDisplayName: s.houseName(ctx), RPOrigins: []string{origin}, AttestationPreference: protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey: protocol.ResidentKeyRequirementRequired, RequireResidentKey: protocol.ResidentKeyRequired(), UserVerification: protocol.VerificationRequired},
	})
}

// keeper is an account as the library asks for it.
type keeper struct {
	account.Account
	keys []account.Passkey
}

// WebAuthnID is by which a passkey names its account: the number, which says nothing else.
func (k keeper) WebAuthnID() []byte { return []byte(strconv.FormatInt(int64(k.ID), 10)) }

// WebAuthnName is how a phone lists the passkey.
func (k keeper) WebAuthnName() string { return k.Email }

// WebAuthnDisplayName is how a phone calls its owner.
func (k keeper) WebAuthnDisplayName() string { return k.Name }

// WebAuthnCredentials are the passkeys that can be read.
func (k keeper) WebAuthnCredentials() []webauthn.Credential {
	var list []webauthn.Credential
	for _, p := range k.keys {
		var c webauthn.Credential
		if json.Unmarshal(p.Public, &c) == nil {
			list = append(list, c)
		}
	}
	return list
}

func (s *Handlers) keeperOf(ctx context.Context, a account.Account) (keeper, error) {
	keys, err := s.Accounts.Passkeys(ctx, a.ID)
	return keeper{a, keys}, err
}

// keepCeremony lets the browser's session keep what the answer is checked against; each is
// good for one answer.
func (s *Handlers) keepCeremony(r *http.Request, key string, data *webauthn.SessionData) error {
	text, err := json.Marshal(data)
	s.Sessions.Put(r.Context(), key, text)
	return err
}

func (s *Handlers) popCeremony(r *http.Request, key string) (data webauthn.SessionData, err error) {
	text := s.Sessions.PopBytes(r.Context(), key)
	if len(text) == 0 {
		return data, errPasskey
	}
	return data, json.Unmarshal(text, &data)
}

// errPasskey is the refusal of whatever a passkey answers that does not hold.
var errPasskey = errors.New("this passkey was not taken: try once more, or use your password")

// newCredential checks the answer of a new passkey.
func (s *Handlers) newCredential(r *http.Request, me account.Account) (*webauthn.Credential, error) {
	data, err := s.popCeremony(r, newPasskeyKey)
	if err != nil {
		return nil, err
	}
	check, err := s.checker(r.Context())
	if err != nil {
		return nil, err
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes([]byte(r.PostFormValue("answer")))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errPasskey, err)
	}
	c, err := check.CreateCredential(keeper{Account: me}, data, parsed)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errPasskey, err)
	}
	return c, nil
}

// signedBy finds whose passkey signed, and notes the use.
func (s *Handlers) signedBy(r *http.Request) (account.Account, error) {
	data, err := s.popCeremony(r, askPasskeyKey)
	if err != nil {
		return account.Account{}, err
	}
	check, err := s.checker(r.Context())
	if err != nil {
		return account.Account{}, err
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes([]byte(r.PostFormValue("answer")))
	if err != nil {
		return account.Account{}, fmt.Errorf("%w: %w", errPasskey, err)
	}
	var who keeper
	find := func(_, handle []byte) (webauthn.User, error) {
		who, err = s.keeperBy(r.Context(), handle)
		return who, err
	}
	_, c, err := check.ValidatePasskeyLogin(find, data, parsed)
	if err != nil {
		return account.Account{}, fmt.Errorf("%w: %w", errPasskey, err)
	}
	return who.Account, s.passkeyUsed(r.Context(), who, c)
}

func (s *Handlers) keeperBy(ctx context.Context, handle []byte) (keeper, error) {
	id, err := strconv.ParseInt(string(handle), 10, 64)
	if err != nil {
		return keeper{}, account.ErrNotFound
	}
	a, err := s.Accounts.AccountByID(ctx, account.ID(id))
	if err == nil && !a.Active {
		err = account.ErrNotFound
	}
	if err != nil {
		return keeper{}, err
	}
	return s.keeperOf(ctx, a)
}

// passkeyUsed stores the counter of a passkey. One that counts backwards has been copied,
// and is refused (W3C Web Authentication Level 3, section 6.1.1).
func (s *Handlers) passkeyUsed(ctx context.Context, who keeper, c *webauthn.Credential) error {
	if c.Authenticator.CloneWarning {
		return fmt.Errorf("%w: its counter went backwards", errPasskey)
	}
	text, err := json.Marshal(c)
	if err != nil {
		return err
	}
	for _, p := range who.keys {
		if string(p.Handle) == string(c.ID) {
			p.Public, p.LastUsed = text, s.Now()
			return s.Accounts.PasskeyUsed(ctx, p)
		}
	}
	return errPasskey
}
