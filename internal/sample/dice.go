package sample

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/google/uuid"
)

// dice draws what chance would: seeded, so that the scenario is the same every time.
type dice struct{ *rand.Rand }

func newDice() *dice {
	return &dice{rand.New(rand.NewChaCha8([32]byte{'t', 'a', 'r', 'r', 'o', 'w'}))}
}

// id makes a UUID. It is the one thing not drawn from the seed: of two loads into one
// database no id may come twice.
func (d *dice) id() string { return uuid.NewString() }

// around draws a factor near one: log-normal with the spread given.
func (d *dice) around(spread float64) float64 { return math.Exp(spread * d.NormFloat64()) }

// minutes draws a time from a to b minutes.
func (d *dice) minutes(a, b int) time.Duration {
	return time.Duration(a+d.IntN(b-a+1)) * time.Minute
}

func pick[T any](d *dice, list []T) T { return list[d.IntN(len(list))] }
