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

// passkeyOrigin returns the only origin at which passkeys of this site work, and false if there
// is none. Passkeys belong to a host name, never to an IP address; the loopback address
// becomes localhost.
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

// errNoPasskeys is returned if the address of the site does not allow passkeys.
const errNoPasskeys = fault.Refusal("Passkeys need this site to have a name and https. Whoever runs it sets that.")

// relyingParty returns the checks of passkeys. It always requires user verification, so that a
// passkey counts as two steps.
func (s *Handlers) relyingParty(ctx context.Context) (*webauthn.WebAuthn, error) {
	origin, name, ok := s.passkeyOrigin()
	if !ok {
		return nil, errNoPasskeys
	}
	return webauthn.New(&webauthn.Config{
		RPID: name, RPDisplayName: s.houseName(ctx), RPOrigins: []string{origin},
		AttestationPreference: protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey: protocol.ResidentKeyRequirementRequired, RequireResidentKey: protocol.ResidentKeyRequired(),
			UserVerification: protocol.VerificationRequired},
	})
}

// passkeyUser is an account as a webauthn.User.
type passkeyUser struct {
	account.Account
	keys []account.Passkey
}

// WebAuthnID returns the id of the account, which reveals nothing else.
func (k passkeyUser) WebAuthnID() []byte { return []byte(strconv.FormatInt(int64(k.ID), 10)) }

// WebAuthnName returns the name that a phone lists the passkey under.
func (k passkeyUser) WebAuthnName() string { return k.Email }

// WebAuthnDisplayName returns the name of the owner.
func (k passkeyUser) WebAuthnDisplayName() string { return k.Name }

// WebAuthnCredentials returns the passkeys that can be read.
func (k passkeyUser) WebAuthnCredentials() []webauthn.Credential {
	var list []webauthn.Credential
	for _, p := range k.keys {
		var c webauthn.Credential
		if json.Unmarshal(p.Public, &c) == nil {
			list = append(list, c)
		}
	}
	return list
}

func (s *Handlers) passkeyUserOf(ctx context.Context, a account.Account) (passkeyUser, error) {
	keys, err := s.Accounts.Passkeys(ctx, a.ID)
	return passkeyUser{a, keys}, err
}

// storeCeremony stores in the session what the response is checked against. It can be used
// once.
func (s *Handlers) storeCeremony(r *http.Request, key string, data *webauthn.SessionData) error {
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

// errPasskey is returned for every invalid response of a passkey.
var errPasskey = errors.New("this passkey was not taken: try once more, or use your password")

// newCredential checks the response of a new passkey.
func (s *Handlers) newCredential(r *http.Request, me account.Account) (*webauthn.Credential, error) {
	data, err := s.popCeremony(r, newPasskeyKey)
	if err != nil {
		return nil, err
	}
	check, err := s.relyingParty(r.Context())
	if err != nil {
		return nil, err
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes([]byte(r.PostFormValue("answer")))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errPasskey, err)
	}
	c, err := check.CreateCredential(passkeyUser{Account: me}, data, parsed)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errPasskey, err)
	}
	return c, nil
}

// passkeyOwner returns the account of the passkey that signed, and records its use.
func (s *Handlers) passkeyOwner(r *http.Request) (account.Account, error) {
	data, err := s.popCeremony(r, askPasskeyKey)
	if err != nil {
		return account.Account{}, err
	}
	check, err := s.relyingParty(r.Context())
	if err != nil {
		return account.Account{}, err
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes([]byte(r.PostFormValue("answer")))
	if err != nil {
		return account.Account{}, fmt.Errorf("%w: %w", errPasskey, err)
	}
	var who passkeyUser
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

func (s *Handlers) keeperBy(ctx context.Context, handle []byte) (passkeyUser, error) {
	id, err := strconv.ParseInt(string(handle), 10, 64)
	if err != nil {
		return passkeyUser{}, account.ErrNotFound
	}
	a, err := s.Accounts.AccountByID(ctx, account.ID(id))
	if err == nil && !a.Active {
		err = account.ErrNotFound
	}
	if err != nil {
		return passkeyUser{}, err
	}
	return s.passkeyUserOf(ctx, a)
}

// passkeyUsed stores the counter of a passkey. It refuses one that counts backwards, because
// it was copied (W3C Web Authentication Level 3, section 6.1.1).
func (s *Handlers) passkeyUsed(ctx context.Context, who passkeyUser, c *webauthn.Credential) error {
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
