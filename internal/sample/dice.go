package sample

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/google/uuid"
)

// dice is a random generator with a fixed seed, so that the scenario is always the same.
type dice struct{ *rand.Rand }

func newDice() *dice {
	return &dice{rand.New(rand.NewChaCha8([32]byte{'t', 'a', 'r', 'r', 'o', 'w'}))}
}

// id returns a new UUID. It does not use the seed, because two loads into one database must
// not share ids.
func (d *dice) id() string { return uuid.NewString() }

// around draws a factor near one, log-normal with the given spread.
func (d *dice) around(spread float64) float64 { return math.Exp(spread * d.NormFloat64()) }

// minutes draws a duration from a to b minutes.
func (d *dice) minutes(a, b int) time.Duration {
	return time.Duration(a+d.IntN(b-a+1)) * time.Minute
}

// pick draws an element of the list.
func pick[T any](d *dice, list []T) T { return list[d.IntN(len(list))] }
