package ref

// Hike names a hike.
type Hike int64

// Trail names a trail.
type Trail int64
