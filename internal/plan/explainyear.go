package plan

// ExplainYear tells of every figure of a year how it was made, from what, and on whose
// word. The input is the one that the year was computed from.
func ExplainYear(in Input, y YearPlan) []Figure {
	return explained(yearExplanations(), leavesOf(y), inputWords(in, Plan{}))
}

func yearExplanations() []explanation {
	all := []explanation{
		{"model", "version of the formulas", "", byJudgement},
		{"year", "year of the twelve middle days", "{start}", byJudgement},
		{"months[].month", "January first", "", byJudgement},
		{"months[].known", "the month has normals", "the monthly normals", byJudgement},
		{"months[].starts[].at", "whole hours from 03:00 to 20:00 on the 15th", "{start}", byJudgement},
		{"months[].starts[].answer", "the graver of the two days: a go without warnings may be led; a go with warnings, or a change by the ladder's first step alone, is with care; all else is not", "{ladder}; {used}", byJudgement},
		{"months[].starts[].decided_by", "the hot day where only that is so grave, else the usual day", "the monthly normals", byJudgement},
		{"months[].starts[].usual_day", "as the verdict of a plan for that start on the usual day", "{way}; {party}; {ladder}", byJudgement},
		{"months[].starts[].hot_day", "as the verdict of a plan for that start on the hot day", "{way}; {party}; {ladder}", byJudgement},
	}
	for _, day := range []struct{ key, high string }{
		{"months[].usual_day.", "as typed"},
		{"months[].hot_day.", "as typed, and hotter by the month's hot_by or the house's allowance"},
	} {
		all = append(all, []explanation{
			{day.key + "air.low_c", day.high, "the monthly normals", "whoever typed them"},
			{day.key + "air.high_c", day.high, "the monthly normals", "whoever typed them"},
			{day.key + "air.dew_point_c", "as typed, or from the humidity at the high", "the monthly normals", "whoever typed them; Magnus formula, WMO-No. 8"},
			{day.key + "air.wind_m_s", "as typed", "the monthly normals", "whoever typed them"},
			{day.key + "air.cloud", "as typed", "the monthly normals", "whoever typed them"},
			{day.key + "earliest", "as the start window of a plan for that day", "{ladder}", byJudgement},
			{day.key + "latest", "as the start window of a plan for that day", "{ladder}; margin {margin}", byJudgement},
			{day.key + "with_care.earliest", "as the start window of a plan for that day", "{ladder}", byJudgement},
			{day.key + "with_care.latest", "as the start window of a plan for that day", "{ladder}", byJudgement},
		}...)
	}
	return all
}
