package account

import "testing"

// rfcKey is the secret of the test values of RFC 4226 and RFC 6238.
const rfcKey = "12345678901234567890"

func TestCodeHasRFCValues(t *testing.T) {
	k := CodeKeyFromBytes([]byte(rfcKey))
	tests := []struct {
		name   string
		step   int64
		digits int
		want   string
	}{
		// RFC 4226 (2005), appendix D, table 2. [M]
		{"RFC 4226 count 0", 0, 6, "755224"},
		{"RFC 4226 count 1", 1, 6, "287082"},
		{"RFC 4226 count 2", 2, 6, "359152"},
		{"RFC 4226 count 3", 3, 6, "969429"},
		{"RFC 4226 count 4", 4, 6, "338314"},
		{"RFC 4226 count 5", 5, 6, "254676"},
		{"RFC 4226 count 6", 6, 6, "287922"},
		{"RFC 4226 count 7", 7, 6, "162583"},
		{"RFC 4226 count 8", 8, 6, "399871"},
		{"RFC 4226 count 9", 9, 6, "520489"},
		// RFC 6238 (2011), appendix B, SHA1 rows; T is printed in hexadecimal. [M]
		{"RFC 6238 at 59", 0x1, 8, "94287082"},
		{"RFC 6238 at 1111111109", 0x23523EC, 8, "07081804"},
		{"RFC 6238 at 1111111111", 0x23523ED, 8, "14050471"},
		{"RFC 6238 at 1234567890", 0x273EF07, 8, "89005924"},
		{"RFC 6238 at 2000000000", 0x3F940AA, 8, "69279037"},
		{"RFC 6238 at 20000000000", 0x27BC86AA, 8, "65353130"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := k.code(tt.step, tt.digits); got != tt.want {
				t.Errorf("code of step %d with %d digits = %s, want %s", tt.step, tt.digits, got, tt.want)
			}
		})
	}
}
