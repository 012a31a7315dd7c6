// Package privacy is the one table of who may see which personal data, and when.
//
// Rows are kinds of data, columns are capacities: what somebody is to a hike or to the
// organization. A cell is a window of time, such as the day of the hike (hike.Hike.OnDay) or a
// running alarm (watch.Case.Window).
//
// # How to show something about people
//
// Ask before showing. A page asks kit.VisibilityFor or kit.StaffVisibility and shows a field only
// where CanSee says so for its kind; a mail asks with the capacity of its reader. Then say so in
// shownBy of web/visibility_table_test.go. TestWhoSeesWhatOnEveryPage plants a word in every field,
// and reads every page as everybody at five times in the life of a hike.
//
// How to add a personal field is in package retention.
package privacy
