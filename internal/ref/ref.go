package ref

import "strconv"

// Hike names a hike.
type Hike int64

// Trail names a trail.
type Trail int64

// Account names a person who can sign in. Zero names nobody.
type Account int64

// Person names somebody on a hike's roll: a sign-up or a member of the staff. It is UUID
// text; "" names nobody.
type Person string

// String writes the number as it stands in addresses and keys.
func (h Hike) String() string { return strconv.FormatInt(int64(h), 10) }

// String writes the number as it stands in addresses and keys.
func (t Trail) String() string { return strconv.FormatInt(int64(t), 10) }

// String writes the number as it stands in addresses and keys.
func (a Account) String() string { return strconv.FormatInt(int64(a), 10) }
