package plan

// Sources that several figures share.
const (
	bySun       = "NOAA solar calculator after Meeus 1998, ch. 25 and 28; zenith 90.833 degrees for rise and set, 96 for civil twilight (US Naval Observatory)"
	byBalance   = "Liljegren et al. 2008 (J Occup Environ Hyg 5:645-655); Haurwitz 1945 sky; Kasten and Czeplak 1980 cloud; US EPA 2000 wind; read from a table within 0.1 C"
	byCurve     = "Parton and Logan 1981 (Agric Meteorol 23:205-216); ICAO lapse up, dry adiabatic down"
	byLimits    = "NIOSH 2016-106, section 8.1: RAL = 59.9 - 14.1 log10 M, REL = 56.7 - 11.5 log10 M, means over an hour"
	byRate      = "Campbell et al. 2022 (Comput Environ Urban Syst), median of hikers by slope; group factor and rests are house judgement after trade practice"
	bySpread    = "trade practice where there is no history: log-normal, sigma 0.20, so P90 is 29 % above P50"
	byWork      = "Looney et al. 2019 (Med Sci Sports Exerc 51), terrain factors after de Gruchy et al. 2017"
	byArmy      = "TB MED 507 (2003) cell for heat and work, a quarter quart more in sun, ceiling 1.42 L/h"
	byPromise   = "US National Park Service trip plans: two times set before departure"
	byPractice  = "common practice of the trade, no source"
	byJudgement = "house judgement"
	byOfficial  = "levels of the US National Weather Service's HeatRisk; the consequence is the house ladder's, house judgement"
	byTrack     = "the recording, cleaned; settings with their reasons stand in the track package"
)

// explanations are in the order of the plan.
func explanations() []explanation {
	return append(append(wayExplanations(), heatExplanations()...), adviceExplanations()...)
}

func wayExplanations() []explanation {
	return []explanation{
		{"model", "version of the formulas", "", byJudgement},
		{"trail.distance_m", "sum of the cleaned steps, way back included", "{way}", byTrack},
		{"trail.ascent_m", "rises between turning points of the smoothed heights", "{way}", byTrack},
		{"trail.descent_m", "falls between turning points of the smoothed heights", "{way}", byTrack},
		{"trail.lowest_m", "lowest smoothed height", "{way}", byTrack},
		{"trail.highest_m", "highest smoothed height", "{way}", byTrack},
		{"trail.steepest_percent", "slope of the steepest 100 m", "{way}", byTrack},
		{"trail.rating.number", "root of (climb in feet x 2 x miles)", "{way}", "a US national park's difficulty formula"},
		{"trail.rating.class", "class of the number, raised where a stretch is steeper than 12 degrees", "{way}", "a US national park's classes; ties and raising are house judgement"},
		{"time.moving_p50_s", "sum over legs of length / rate(slope) / surface share x pace x group factor", "{way}; {party}", byRate},
		{"time.breaks_s", "10 min in each hour out: 12 min for each hour of walking", "{party}", byPractice},
		{"time.p50_s", "walking + breaks", "{way}; {party}", byRate},
		{"time.p90_s", "P50 x exp(1.2816 sigma)", "P50 {p50}", bySpread},
		{"time.points[].at_m", "distance from the start of the walk", "the trail's points", byTrack},
		{"time.points[].p50", "start + P50 x share of the work done there", "{start}, P50 {p50}", byRate},
		{"time.points[].p90", "start + P90 x share of the work done there", "{start}, P90 {p90}", bySpread},
		{"time.points[].back_p50", "start + P50 x share of the work done on passing again", "{start}, P50 {p50}", byRate},
		{"time.points[].back_p90", "start + P90 x share of the work done on passing again", "{start}, P90 {p90}", bySpread},
		{"time.pace.steps_per_min", "95, 105 or 115 for gentle, ordinary, brisk", "{party}", byPractice},
		{"time.pace.stride_level_m", "speed on the level / steps", "{party}", byRate},
		{"time.pace.stride_up_m", "speed on the mean climb / steps", "{way}", byRate},
		{"time.pace.stride_down_m", "speed on the mean descent / steps", "{way}", byRate},
		{"time.second_opinions.alpine club.moving_s", "longer of (4 km/h along, 300 m/h up + 500 m/h down) + half the shorter", "{way}", "DIN 33466 and the alpine clubs' path handbook"},
		{"time.second_opinions.Naismith-Langmuir.moving_s", "5 km/h + 600 m/h up; 5 to 12 degrees down saves 10 min in 300 m, steeper costs it", "{way}", "Naismith 1892, Langmuir 1984"},
		{"time.second_opinions.Tobler.moving_s", "sum over legs of length / (6 exp(-3.5 |slope + 0.05|) km/h)", "{way}", "Tobler 1993, NCGIA 93-1"},
		{"time.second_opinions.alpine club.difference_percent", "rule / our time for one person without breaks - 1", "{party}", byJudgement},
		{"time.second_opinions.Naismith-Langmuir.difference_percent", "rule / our time for one person without breaks - 1", "{party}", byJudgement},
		{"time.second_opinions.Tobler.difference_percent", "rule / our time for one person without breaks - 1", "{party}", byJudgement},
		{"time.second_opinions.alpine club.differs", "difference above 30 % either way", "{party}", byJudgement},
		{"time.second_opinions.Naismith-Langmuir.differs", "difference above 30 % either way", "{party}", byJudgement},
		{"time.second_opinions.Tobler.differs", "difference above 30 % either way", "{party}", byJudgement},
		{"official.heat_level", "as typed; from 3 on only the allowed window is left", "what the leader looked up", byOfficial},
		{"official.storm_chance", "as typed; spoken of from 20 %, a change from 50 %", "what the leader looked up", byJudgement},
		{"official.air_quality_index", "as typed; spoken of from 101, a change from 151, cancelled from 201", "what the leader looked up", "classes of the US EPA air quality index; consequences are house judgement"},
		{"sun.civil_dawn", "the Sun's centre 6 degrees below the horizon, rising", "{start}", bySun},
		{"sun.sunrise", "upper limb on a level horizon", "{start}", bySun},
		{"sun.sunset", "upper limb on a level horizon", "{start}", bySun},
		{"sun.civil_dusk", "the Sun's centre 6 degrees below the horizon, setting", "{start}", bySun},
	}
}

func heatExplanations() []explanation {
	return []explanation{
		{"heat.peak_wbgt_c", "highest WBGT met at the end of any leg, at P50 and at P90 pace", "{weather}; {start}", byBalance},
		{"heat.peak_air_c", "highest air temperature met, at P50 and at P90 pace", "{weather}; {start}", byCurve},
		{"heat.peak_at", "when the highest WBGT is met", "{weather}; {start}", byBalance},
		{"heat.limit_wbgt_c", "limit for the hardest hour of the walk", "{used}; {body}", byLimits},
		{"heat.alert_limit_wbgt_c", "RAL for the hardest hour of the walk: people not used to heat", "{body}; {way}", byLimits},
		{"heat.exposure_limit_wbgt_c", "REL for the hardest hour of the walk: people used to heat; the off-by time is taken from it", "{body}; {way}", byLimits},
		{"heat.off_by", "first moment from the start at which the open trail at its lowest height passes the exposure limit of the hardest hour, or feels like the ladder's last step", "{weather}; {ladder}", byLimits},
		{"heat.worst_hour.from", "hour of the walk with the least room under its limit", "{used}", byLimits},
		{"heat.worst_hour.to", "an hour later, or the end of a shorter walk", "{used}", byLimits},
		{"heat.worst_hour.mean_wbgt_c", "time-weighted mean of WBGT over the hour", "{weather}", byBalance},
		{"heat.worst_hour.work_w", "time-weighted mean of power over the hour, rests counted as standing", "{body}; {way}", byWork},
		{"heat.worst_hour.limit_wbgt_c", "limit for the work of that hour", "{work}; {used}", byLimits},
		{"heat.hours[].at", "whole hours from before first light to after last light", "{start}", bySun},
		{"heat.hours[].air_c", "sine by day, decay by night, or the hourly lines", "{weather}", byCurve},
		{"heat.hours[].humidity_percent", "saturation pressure at the dew point / at the air temperature", "{weather}", "Magnus formula, WMO-No. 8"},
		{"heat.hours[].solar_w_m2", "1098 cos z exp(-0.059 / cos z), raised with height, x (1 - 0.75 cloud^3.4)", "{weather}", "Haurwitz 1945; FAO-56 eq. 37; Kasten and Czeplak 1980"},
		{"heat.hours[].wbgt_c", "0.7 natural wet bulb + 0.2 globe + 0.1 air", "{weather}", byBalance},
		{"heat.hours[].heat_index_c", "regression of Rothfusz with its adjustments", "{weather}", "US National Weather Service, 2022"},
	}
}

func adviceExplanations() []explanation {
	return []explanation{
		{"water.drink_l_per_h", "table cell, in sun a quarter quart more and no less than must evaporate", "peak {peak}, {work}", byArmy},
		{"water.carry_l_per_person", "rate x P90, up to the next half litre; less where refills are counted on", "{rate}, P90 {p90}", byPractice},
		{"water.carry_without_refills_l", "rate x P90, up to the next half litre", "{rate}, P90 {p90}", byPractice},
		{"water.refills[].at_m", "distance from the start of the walk", "the trail's points", byTrack},
		{"water.refills[].counted", "confirmed by the house within 30 days before the start", "the trail's points", byJudgement},
		{"water.refills[].carry_l_per_person", "rate x P90 time to the next counted refill or the end", "{rate}, P90 {p90}", byPractice},
		{"water.body_sizes[].body_kg", "small and large adults beside the middle", "", byJudgement},
		{"water.body_sizes[].drink_l_per_h", "rate x mass / reference mass, within a quarter quart an hour of the rate", "{rate}; {body}", byArmy},
		{"water.body_sizes[].carry_l", "that rate x P90, up to the next half litre", "P90 {p90}", byPractice},
		{"water.load.share_of_body_percent", "(4 kg of kit + 1 kg for each litre) / reference mass", "{body}", byPractice},
		{"water.group_reserve_l", "2 L, or 0.25 L a person if more; none for one person alone", "{party}", byJudgement},
		{"water.before_start_l", "drunk before the trailhead", "", byPractice},
		{"food.kcal_per_h_low", "100, or the spend if less", "{body}", byPractice},
		{"food.kcal_per_h_high", "200, or the spend if less", "{body}", byPractice},
		{"food.carry_kcal_per_person", "between low and high by the hardest hour's work, x P90, up to the next 50", "P90 {p90}", byPractice},
		{"food.before_start_kcal", "eaten before the trailhead", "", byPractice},
		{"return.expected", "start + P50, up to the minute", "{start}, P50 {p50}", byPromise},
		{"return.watch", "start + P90, up to the minute", "{start}, P90 {p90}", byPromise},
		{"return.call", "watch time + the house's wait, the shorter one on a hot day", "{weather}", byPromise},
		{"turnaround.at", "earliest of sunset - margin - way back x factor, off-by time - way back x factor, half of P90; none on a way that ends elsewhere", "margin {margin}, factor {factor}", byPractice},
		{"turnaround.off_trail_by", "earlier of sunset - margin and the off-by time", "margin {margin}", byPractice},
		{"turnaround.start_by", "the turnaround by daylight or heat - time to the far point", "margin {margin}, factor {factor}", byPractice},
		{"turnaround.points[].at_m", "distance from the start of the walk", "the trail's points", byTrack},
		{"turnaround.points[].at", "as the turnaround, with the point's own way home", "margin {margin}, factor {factor}", byPractice},
		{"start_window.earliest", "first start of the run that passes every limit around the best one", "{weather}; {ladder}", byJudgement},
		{"start_window.latest", "last start of that run", "{weather}; {ladder}; margin {margin}", byJudgement},
		{"start_window.best", "start with the most room under its heat limits", "{weather}; {ladder}", byJudgement},
		{"start_window.with_care.earliest", "first start of the run around the best at which only the ladder's first step asks for a change", "{weather}; {ladder}", byJudgement},
		{"start_window.with_care.latest", "last start of that run", "{weather}; {ladder}", byJudgement},
		{"start_window.starts[].at", "every five minutes from civil dawn to the last that ends by civil dusk at P90", "P90 {p90}", bySun},
		{"start_window.starts[].decision", "as the verdict, for that start", "{weather}; {ladder}", byJudgement},
		{"start_window.starts[].peak_wbgt_c", "highest WBGT that this start meets", "{weather}", byBalance},
		{"start_window.starts[].peak_felt_c", "highest of air temperature and heat index that this start meets", "{weather}", byCurve},
		{"start_window.starts[].over_c", "larger of (felt - first step of the ladder) and (mean of the worst hour - exposure limit)", "{ladder}", byLimits},
		{"short_option.turn_at_m", "farthest earlier turn that passes every limit; a named point is worth a fifth of the way", "{weather}; {ladder}", byJudgement},
		{"short_option.distance_m", "twice the turn", "{way}", byTrack},
		{"short_option.p50_s", "as the time of the whole walk", "{party}", byRate},
		{"short_option.p90_s", "P50 x exp(1.2816 sigma)", "{party}", bySpread},
		{"short_option.drink_l_per_h", "as the water of the whole walk", "{weather}", byArmy},
		{"short_option.carry_l_per_person", "rate x P90, up to the next half litre", "{weather}", byPractice},
		{"short_option.passes", "no limit asks for a change; the ladder's words shorter and short are three quarters and half of the time", "{ladder}; {used}", byJudgement},
		{"verdict.decision", "the gravest of all that is found", "{weather}; {ladder}", byJudgement},
	}
}
