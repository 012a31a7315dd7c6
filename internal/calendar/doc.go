// Package calendar writes hikes as calendar entries and people to ring as cards, for
// programs that read them: RFC 5545 (iCalendar), RFC 5546 (invitations) and RFC 6350
// (vCard).
//
// An Event carries its instants with the trailhead's zone; what the zone does around them
// is written out beside it from the machine's own zone data, so that a reader needs none.
// Everything here is a pure function from values to bytes: the time of writing is given.
package calendar
