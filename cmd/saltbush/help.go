package main

import "github.com/alecthomas/kong"

// longHelp holds the texts of flags that do not fit on the flag's line.
func longHelp() kong.Vars {
	return kong.Vars{
		"backup_to": "The file to write, which must not exist yet; - is standard output.",
		"cmd_let_in": "Open an account again whose owner lost password, phone and codes, where no coordinator " +
			"can.",
		"plan_gpx":        "The track: GPX 1.0 or 1.1, or - for standard input.",
		"plan_heat_level": "The official heat level, 0 to 4; not known where it is left out.",
		"plan_warning":    "A warning is in force for the trail on the day, in its own words.",
		"plan_storm":      "Chance of storms or flash floods on the way or upstream, as 0.3 or 30%.",
		"plan_staff": "How many lead, sweep or assist. One of staff and no participants is one person walking " +
			"alone.",
		"plan_hourly": "Air hour by hour instead of a curve from low and high: CSV with the columns at, air, " +
			"dewpoint, wind, cloud.",
		"plan_year": "Say for every month and hour whether the trail may be led, from monthly normals: CSV " +
			"with the columns month, low, high, dewpoint or humidity, wind, cloud and hot_by. No date, start or " +
			"forecast is needed then.",
		"plan_house": "The rules of the house instead of the defaults: JSON with a figure by the key of each " +
			"rule, as the page of the house lists them.",
		"serve_base_url": "The address that links in messages begin with, as https://hikes.example.org.",
		"serve_new_card_key": "Once, after the key of the medical cards was lost for good: begin with a new " +
			"one. Cards sealed with the old one stay closed.",
		"serve_heartbeat": "Called each minute while the watch is kept. Let a monitor outside of this machine " +
			"ring somebody when the calls stop.",
		"smtp_encryption":  "How the connection is protected.",
		"smtp_encryptions": "starttls,starttls-if-offered,tls,none",
		"webhook_url": "Where alarms are posted for an SMS gateway of yours. Without one, alarms go by mail " +
			"only.",
		"webhook_secret": "What the posts are signed with (HMAC-SHA256), 16 characters or more; better given " +
			"in the environment.",
		"site_data": "Where the private database keeps its files, and the key of the medical cards.",
		"site_card_key": "The key of the medical cards, 32 bytes in base64; better given in the environment. " +
			"Without it the key is the file card.key in the data folder.",
	}
}
