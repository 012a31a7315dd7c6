package roll

import "time"

// House judgement: below this the difference between two clocks is told from the time
// that a batch spends on the way; phones set by a network are within seconds.
const clockSlack = 2 * time.Minute

// ClockOffset returns what must be added to a device's times to bring them onto the
// server's clock: the time of receipt less the time at which the device says it sent.
// It is zero where they agree within two minutes and where the device did not say.
func ClockOffset(sentAt, received time.Time) time.Duration {
	if sentAt.IsZero() {
		return 0
	}
	if off := received.Sub(sentAt); off.Abs() > clockSlack {
		return off
	}
	return 0
}

// Corrected returns the event with its time moved by the offset of its device's clock,
// and the raw time kept in DeviceAt. The same offset goes for all events of a device,
// however long they waited: a wrong clock runs as fast as a right one. A time that no
// clock shows stays as it is, for Validate to refuse.
func (e Event) Corrected(offset time.Duration) Event {
	e.DeviceAt = time.Time{}
	if y := e.At.Year(); offset == 0 || y < 1970 || y > 2200 {
		return e
	}
	e.DeviceAt, e.At = e.At, e.At.Add(offset)
	return e
}
