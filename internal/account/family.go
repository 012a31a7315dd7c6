package account

import "saltbush/internal/fault"

// Family is whom on-call phones when somebody on the staff is overdue. Both parts are empty if the
// person has named nobody.
type Family struct{ Name, Phone string }

// Check returns an Invalid that says what is wrong with it, and writes the number for display. Region
// is the country whose local numbers are understood.
func (f *Family) Check(region string) error {
	if *f == (Family{}) {
		return nil
	}
	v := fault.Invalid{}
	v.Require("family_name", f.Name, maxName, "Write the name of the person to call.")
	v.Phone("family_phone", &f.Phone, region)
	return v.Err()
}

// Words are the name and the number, "" if there is nobody.
func (f Family) Words() string {
	if f.Phone == "" {
		return ""
	}
	return f.Name + ", " + f.Phone
}
