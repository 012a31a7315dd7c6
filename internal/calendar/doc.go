// Package calendar writes hikes as calendar entries and contacts as address cards: RFC 5545
// (iCalendar), RFC 5546 (invitations) and RFC 6350 (vCard).
//
// An Event has its times in the zone of the trailhead. Each file describes its zones from this
// machine's zone data, so that a reader needs none.
package calendar
