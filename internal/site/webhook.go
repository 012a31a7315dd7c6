package site

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"time"

	"saltbush/internal/message"
)

// Webhook is an organisation's own gateway for text messages.
type Webhook struct {
	URL    string // empty where there is none
	Secret string // what the posts are signed with
}

// sender returns nil where no gateway is attached.
func (h Webhook) sender(now func() time.Time) (message.Sender, error) {
	if h.URL == "" {
		return nil, nil
	}
	return message.NewHook(h.URL, h.Secret, now, newPoster())
}

// poster posts over HTTP.
type poster struct{ client *http.Client }

// House judgement: a gateway that has not answered by then has the message or has not;
// the key tells it which when the message comes again.
const hookPatience = 10 * time.Second

// hookPolicy is that of alarms, with the gateway's patience.
func hookPolicy() message.Policy {
	p := message.AlarmPolicy()
	p.Patience = hookPatience
	return p
}

func newPoster() poster {
	return poster{&http.Client{Timeout: hookPatience, CheckRedirect: stay}}
}

// stay follows no redirect: what is posted goes to the address that was given, or nowhere.
func stay(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }

// Post sends the body and returns the status of the answer.
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

// statusOf returns the status of an answer and throws its body away, so that the connection
// can be used again.
func statusOf(res *http.Response) int {
	defer res.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(res.Body, 64<<10))
	return res.StatusCode
}
