package sitetest

import (
	"bytes"
	"encoding/json"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"
)

// Visitor is a browser without scripts: it keeps cookies and follows no redirect.
type Visitor struct {
	t    testing.TB
	base string
	http *http.Client
}

// Visitor returns somebody who has not signed in.
func (s *Site) Visitor(t testing.TB) *Visitor { return NewVisitor(t, s.URL) }

// SignIn returns somebody who has signed in with the password of the fixtures.
func (s *Site) SignIn(t testing.TB, email string) *Visitor {
	t.Helper()
	v := s.Visitor(t)
	v.Post("/sign-in", url.Values{"email": {email}, "password": {Password}}).Want(http.StatusSeeOther)
	return v
}

// NewVisitor returns a visitor of the site that is served at base.
func NewVisitor(t testing.TB, base string) *Visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &Visitor{t: t, base: base, http: &http.Client{Jar: jar, CheckRedirect: stay}}
}

// In is the same visitor in a subtest.
func (v *Visitor) In(t testing.TB) *Visitor { return &Visitor{t: t, base: v.base, http: v.http} }

// Client is for requests that a Visitor cannot make, as of streams.
func (v *Visitor) Client() *http.Client { return v.http }

// Get opens a page, by its path or by a whole address as from a mail.
func (v *Visitor) Get(path string) Page {
	v.t.Helper()
	return v.Do(v.request(http.MethodGet, path, "", nil))
}

// Post sends a form; nil is an empty one.
func (v *Visitor) Post(path string, form url.Values) Page {
	v.t.Helper()
	return v.Do(v.request(http.MethodPost, path, "application/x-www-form-urlencoded", strings.NewReader(form.Encode())))
}

// PostJSON sends what a script sends. A string goes as it is.
func (v *Visitor) PostJSON(path string, body any) Page {
	v.t.Helper()
	text, ok := body.(string)
	if !ok {
		b, err := json.Marshal(body)
		if err != nil {
			v.t.Fatal(err)
		}
		text = string(b)
	}
	return v.Do(v.request(http.MethodPost, path, "application/json", strings.NewReader(text)))
}

// Upload sends a file as the form field "file", beside other fields.
func (v *Visitor) Upload(path, name string, file []byte, fields url.Values) Page {
	v.t.Helper()
	return v.UploadAs("file", path, name, file, fields)
}

// UploadAs is Upload with a form field of another name.
func (v *Visitor) UploadAs(field, path, name string, file []byte, fields url.Values) Page {
	v.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	for name, values := range fields {
		for _, value := range values {
			_ = form.WriteField(name, value) // a buffer takes everything
		}
	}
	part, _ := form.CreateFormFile(field, name)
	_, _ = part.Write(file)
	_ = form.Close()
	return v.Do(v.request(http.MethodPost, path, form.FormDataContentType(), &b))
}

// Do sends any request and reads the whole answer.
func (v *Visitor) Do(req *http.Request) Page {
	v.t.Helper()
	res, err := v.http.Do(req)
	if err != nil {
		v.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatalf("%s %s: %v", req.Method, req.URL, err)
	}
	asked := req.Method + " " + req.URL.Path
	return Page{t: v.t, Asked: asked, Status: res.StatusCode, Header: res.Header, Body: string(body)}
}

func (v *Visitor) request(method, path, kind string, body io.Reader) *http.Request {
	v.t.Helper()
	if !strings.Contains(path, "://") {
		path = v.base + path
	}
	req, err := http.NewRequest(method, path, body)
	if err != nil {
		v.t.Fatal(err)
	}
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	return req
}
