package site

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"time"

	"saltbush/internal/message"
)

// Webhook is an organization's gateway for text messages.
type Webhook struct {
	URL    string // empty for none
	Secret string // signs the posts
}

// sender returns nil if there is no gateway.
func (h Webhook) sender(now func() time.Time) (message.Sender, error) {
	if h.URL == "" {
		return nil, nil
	}
	return message.NewHook(h.URL, h.Secret, now, newPoster())
}

// poster posts over HTTP.
type poster struct{ client *http.Client }

// hookPatience is the timeout of the gateway. The gateway may have got the message anyway; it
// recognizes a repeated one by its key. Our judgment.
const hookPatience = 10 * time.Second

// hookPolicy is the policy of alarms, with the timeout of the gateway.
func hookPolicy() message.Policy {
	p := message.AlarmPolicy()
	p.Patience = hookPatience
	return p
}

func newPoster() poster {
	return poster{&http.Client{Timeout: hookPatience, CheckRedirect: noRedirect}}
}

// noRedirect makes a client follow no redirects: a post goes to the given address or fails.
func noRedirect(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }

// Post posts the body and returns the status of the response.
func (p poster) Post(ctx context.Context, url string, headers map[string]string, body []byte) (int, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(body))
	if err != nil {
		return 0, err
	}
	for name, value := range headers {
		req.Header.Set(name, value)
	}
	res, err := p.client.Do(req)
	if err != nil {
		return 0, err
	}
	return statusOf(res), nil
}

// statusOf returns the status of a response and discards its body, so that the connection can
// be reused.
func statusOf(res *http.Response) int {
	defer res.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(res.Body, 64<<10))
	return res.StatusCode
}
