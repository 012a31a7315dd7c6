package supply

import (
	"fmt"
	"math"

	"saltbush/internal/unit"
)

// mostBottled is a House judgement: nobody carries a hundred litres.
const mostBottled unit.Volume = 100

// Bottles writes a volume as bottles of 1 L and one of 0.5 L, rounded up to half litres.
// Nothing, or less, needs none; what is no number is written as unknown.
func Bottles(v unit.Volume) string {
	if math.IsNaN(float64(v)) {
		return "unknown: ask the leader"
	}
	halves := int(upToHalf(between(v, 0, mostBottled)) / halfLitre)
	litres := halves / 2
	switch {
	case halves <= 0:
		return "no bottle"
	case halves == 1:
		return "one bottle of 0.5 L"
	case halves%2 == 0:
		return ofOneLitre(litres)
	default:
		return ofOneLitre(litres) + " and one of 0.5 L"
	}
}

func ofOneLitre(n int) string {
	if n == 1 {
		return "one bottle of 1 L"
	}
	return fmt.Sprintf("%d bottles of 1 L", n)
}
