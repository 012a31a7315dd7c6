package plan

import "math"

// Figures are rounded once, here, to no more digits than they deserve.

func whole[T ~float64](v T) T { return T(math.Round(float64(v))) }

func tenth[T ~float64](v T) T { return T(math.Round(float64(v)*10) / 10) }

func hundredth[T ~float64](v T) T { return T(math.Round(float64(v)*100) / 100) }
