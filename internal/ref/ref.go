package ref

import "strconv"

// Hike is the id of a hike.
type Hike int64

// Trail is the id of a trail.
type Trail int64

// Account is the id of a person who can sign in. Zero is nobody.
type Account int64

// Person is the id of somebody on the roll of a hike: a sign-up or a member of the staff. It
// is UUID text. Empty is nobody.
type Person string

// String returns the id as it is written in URLs and keys.
func (h Hike) String() string { return strconv.FormatInt(int64(h), 10) }

// String returns the id as it is written in URLs and keys.
func (t Trail) String() string { return strconv.FormatInt(int64(t), 10) }

// String returns the id as it is written in URLs and keys.
func (a Account) String() string { return strconv.FormatInt(int64(a), 10) }
