// Package phone makes what a phone shows of a party: one view of the folded roll, with the checks
// before the departure, in plain values. It is pure. The server runs it, and the same code runs on
// the phone as WebAssembly, so the scripts of the roll compute nothing about people.
//
// Command phone is the program on the phone. After a change here, in party or in unit, run
//
//	go generate ./assets
//
// and commit the packed program.
package phone
