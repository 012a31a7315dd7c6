package track

import "saltbush/internal/unit"

// Climb and Median3 export the two height filters for the reference tests.
func Climb(heights []float64, step unit.Length) (up, down unit.Length) { return climb(heights, step) }

// Median3 is the filter for single bad readings.
func Median3(heights []float64) []float64 { return median3(heights) }
