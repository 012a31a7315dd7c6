package account_test

import (
	"testing"

	"saltbush/internal/account"
)

func TestDeviceOf(t *testing.T) {
	tests := []struct{ name, agent, want string }{
		{"a phone", "Mozilla/5.0 (Linux; Android 16; Mobile; rv:145.0) Gecko/145.0 Firefox/145.0",
			"Firefox on Android"},
		{"a desk",
			"Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/156.0.0.0 Safari/537.36",
			"Chrome on Linux"},
		{"one that names another",
			"Mozilla/5.0 (Windows NT 10.0) AppleWebKit/537.36 Chrome/156.0.0.0 Safari/537.36 Edg/156.0",
			"Edge on Windows"},
		{"a tablet", "Mozilla/5.0 (iPad; CPU OS 19_0 like Mac OS X) AppleWebKit/605.1 Version/19.0 Safari/604.1",
			"Safari on iPad"},
		{"a program", "Go-http-client/1.1", "a browser on an unknown system"},
		{"nothing", "", "a browser on an unknown system"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := account.DeviceOf(tt.agent); got != tt.want {
				t.Errorf("DeviceOf(%q) = %q, want %q", tt.agent, got, tt.want)
			}
		})
	}
}
