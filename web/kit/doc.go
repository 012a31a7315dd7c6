// Package kit is what the handlers of every area share: who asks, what a request is about,
// forms, page frames, errors, and words that several areas show.
package kit
