package party

import (
	"slices"
	"time"
)

// What rescuers ask for and no other record says. The texts are sent over the wire and are on the form.
const (
	TopicClothing = "clothing of the missing"
	TopicPhone    = "phone of the missing"
	TopicWith     = "who else is with them"
	TopicDone     = "what was done"
	TopicAsked    = "what is asked for"
)

// Topics lists them in the order of the form.
func Topics() []string { return []string{TopicClothing, TopicPhone, TopicWith, TopicDone, TopicAsked} }

// Noted is one line for rescuers.
type Noted struct {
	Topic, Text string
	At          time.Time
	By          string
}

func (r *reducer) noted(e Event) {
	r.state.Noted = append(r.state.Noted, Noted{Topic: e.To, Text: e.Note, At: e.At, By: e.By})
}

// NotedAbout returns what was written about a topic, the earliest first.
func (s State) NotedAbout(topic string) []Noted {
	return slices.DeleteFunc(slices.Clone(s.Noted), func(n Noted) bool { return n.Topic != topic })
}
