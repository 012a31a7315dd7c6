package hike

import "time"

// House is what the organisation says of itself.
type House struct {
	// Organisation is the name in which messages go out.
	Organisation string
	// Emergency is the local emergency number; it stands on every page and paper.
	Emergency string
	// Zone is offered first where a trailhead's time zone is asked.
	Zone string
}

// Validate returns an Invalid naming each fault.
func (h House) Validate() error {
	v := Invalid{}
	v.require("organisation", h.Organisation, 120, "Give the name in which messages go out.")
	v.require("emergency", h.Emergency, 20, "Give the local emergency number.")
	if _, err := time.LoadLocation(h.Zone); err != nil || h.Zone == "" || h.Zone == "Local" {
		v.Add("zone", "Give a time zone, such as America/Denver.")
	}
	return v.Err()
}
