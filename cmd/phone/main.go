//go:build js && wasm

// Command phone is the program that a page of the roll loads: the fold of package party, for where
// there is no signal. It gives the page one function, partyView, from JSON to JSON, and tells it so
// by calling partyReady.
package main

import (
	"syscall/js"

	"saltbush/internal/phone"
)

func main() {
	view := js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(phone.Answer([]byte(args[0].String())))
	})
	js.Global().Set("partyView", view)
	js.Global().Call("partyReady")
	select {} // stays for the calls
}
