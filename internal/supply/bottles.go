package supply

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// mostBottled is our judgment: nobody carries a hundred liters.
const mostBottled unit.Volume = 100

// Bottles writes a volume as bottles of 1 L and one of 0.5 L, rounded up to half liters. Zero or less is no bottle;
// NaN is unknown.
func Bottles(v unit.Volume) string {
	if math.IsNaN(float64(v)) {
		return "unknown: ask the leader"
	}
	halves := int(upToHalf(between(v, 0, mostBottled)) / halfLiter)
	liters := halves / 2
	switch {
	case halves <= 0:
		return "no bottle"
	case halves == 1:
		return "one bottle of 0.5 L"
	case halves%2 == 0:
		return ofOneLiter(liters)
	default:
		return ofOneLiter(liters) + " and one of 0.5 L"
	}
}

func ofOneLiter(n int) string {
	if n == 1 {
		return "one bottle of 1 L"
	}
	return fmt.Sprintf("%d bottles of 1 L", n)
}
