package heat

import "math"

// settled is the accuracy of a root in kelvins: a hundredth of the 0.01 K of the published tables.
const settled = 1e-4

// root finds the zero of gain, which falls from positive at low to negative at high, by the method of Chandrupatla
// 1997 (Advances in Engineering Software 28:145-149): inverse parabolas where the last three points allow them,
// bisection elsewhere. The root stays between near and far throughout, so it is found whatever the shape of gain. If
// gain does not change its sign, root returns the end that is nearer to the root.
func root(gain func(float64) float64, low, high float64) float64 {
	near, atNear, far, atFar := low, gain(low), high, gain(high)
	if atNear <= 0 {
		return low
	}
	if atFar >= 0 {
		return high
	}
	step := atNear / (atNear - atFar) // the first one is a secant
	x := near
	for range 100 { // bisection alone takes 25 for 1000 K
		x = near + step*(far-near)
		at := gain(x)
		last, atLast := near, atNear
		if (at > 0) != (atNear > 0) {
			last, atLast, far, atFar = far, atFar, near, atNear
		}
		near, atNear = x, at
		least := settled / math.Abs(far-near)
		if at == 0 || least > 1 {
			return x
		}
		step = parabola(near, far, last, atNear, atFar, atLast)
		step = max(least/2, min(1-least/2, step))
	}
	return x
}

// parabola returns the share of the way from near to far at which the inverse parabola through the three points is
// zero, or a half where it is unreliable.
func parabola(near, far, last, atNear, atFar, atLast float64) float64 {
	xi := (near - far) / (last - far)
	phi := (atNear - atFar) / (atLast - atFar)
	if phi*phi >= xi || (1-phi)*(1-phi) >= 1-xi {
		return 0.5
	}
	return atNear/(atFar-atNear)*atLast/(atFar-atLast) +
		(last-near)/(far-near)*atNear/(atLast-atNear)*atFar/(atLast-atFar)
}
