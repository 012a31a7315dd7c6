// Package ride plans the cars of a hike: carpools to the trailhead, and the shuttle of a hike
// that ends somewhere else.
package ride
