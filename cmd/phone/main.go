//go:build js && wasm

// Command phone is the program that a page of the roll loads: the fold of package party, for where
// there is no signal. It calls partyReady with two functions: one makes a view from what is given,
// both as JSON, and one ends the program.
package main

import (
	"syscall/js"

	"saltbush/internal/phone"
)

func main() {
	end := make(chan struct{})
	view := js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(phone.Answer([]byte(args[0].String())))
	})
	stop := js.FuncOf(func(js.Value, []js.Value) any {
		close(end)
		return nil
	})
	js.Global().Call("partyReady", view, stop)
	<-end // stays for the calls
}
