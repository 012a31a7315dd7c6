package format_test

import (
	"testing"

	"saltbush/internal/format"
)

func TestWords(t *testing.T) {
	tests := []struct{ name, got, want string }{
		{"no names", format.Names(nil), ""},
		{"one name", format.Names([]string{"Ann"}), "Ann"},
		{"two names", format.Names([]string{"Ann", "Bo"}), "Ann and Bo"},
		{"three names", format.Names([]string{"Ann", "Bo", "Cy"}), "Ann, Bo and Cy"},
		{"no names, short", format.NamesShort(nil), ""},
		{"four names, short", format.NamesShort([]string{"Ann", "Bo", "Cy", "Di"}), "Ann, Bo, Cy, Di"},
		{"six names, short", format.NamesShort([]string{"Ann", "Bo", "Cy", "Di", "Ed", "Flo"}),
			"Ann, Bo, Cy, Di and 2 more"},
		{"text", format.OrElse("Ann", "nobody"), "Ann"},
		{"no text", format.OrElse("", "nobody"), "nobody"},
		{"sentence", format.SentenceCase("the link has expired"), "The link has expired."},
		{"sentence with its period", format.SentenceCase("the link has expired."), "The link has expired."},
		{"word", format.SentenceWord("sweep"), "Sweep"},
		{"joined", format.Join([]format.System{format.Metric, format.US}, "; "), "metric; us"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}
