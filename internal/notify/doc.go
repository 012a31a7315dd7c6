// Package notify decides which message goes to whom about a hike, and composes it from
// facts. Jobs and handlers call it. It queues mail and never sends any.
package notify
