package track

import "saltbush/internal/unit"

// Climb and Median3 open the two height filters to the reference tests.
func Climb(heights []float64, step unit.Length) (up, down unit.Length) { return climb(heights, step) }

// Median3 is the filter against single bad readings.
func Median3(heights []float64) []float64 { return median3(heights) }
