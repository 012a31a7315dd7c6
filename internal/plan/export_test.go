package plan

// Window returns when the walk may start on its day, without the rest of the plan. The
// planned start of the input only says which day it is.
func Window(in Input) (StartWindow, error) {
	if err := in.Validate(); err != nil {
		return StartWindow{}, err
	}
	r, err := newRoute(in)
	if err != nil {
		return StartWindow{}, err
	}
	return r.window(), nil
}
