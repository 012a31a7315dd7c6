package track

import "fmt"

// Shape says how a walk uses its recorded line.
type Shape string

// Shapes of a walk. OneWay and Loop are walked as recorded; OutAndBack is walked to the
// end of the recording and back the same way.
const (
	OneWay     Shape = "one-way"
	OutAndBack Shape = "out-and-back"
	Loop       Shape = "loop"
)

// ParseShape reads a shape by its name.
func ParseShape(s string) (Shape, error) {
	switch shape := Shape(s); shape {
	case OneWay, OutAndBack, Loop:
		return shape, nil
	}
	return "", fmt.Errorf("%q is not a shape of walk: write one-way, out-and-back or loop", s)
}
