//go:build js && wasm

// Command strew-wasm is the engine for a browser or Node: it makes a plan from
// bytes in memory to bytes in memory. It gives JavaScript one function:
//
//	strewPlan(files, project) // → Promise of results
//
// files and results are objects of Uint8Array by file name; project is the name
// of the project file among files, "" for the built-in example. The promise is
// rejected with an Error in the maker's words.
package main

import (
	"context"
	"syscall/js"

	"strew/cmd/internal/engine"
)

func main() {
	js.Global().Set("strewPlan", js.FuncOf(plan))
	select {} // strewPlan can be called only while the program runs
}

// plan starts planning and returns its promise.
func plan(_ js.Value, args []js.Value) any {
	files, name := filesOf(args[0]), args[1].String()
	var work js.Func
	work = js.FuncOf(func(_ js.Value, promise []js.Value) any {
		resolve, reject := promise[0], promise[1]
		go func() {
			defer work.Release()
			made, err := engine.Plan(context.Background(), files, name, nil)
			if err != nil {
				reject.Invoke(js.Global().Get("Error").New(err.Error()))
				return
			}
			out := js.Global().Get("Object").New()
			for _, f := range made {
				data := js.Global().Get("Uint8Array").New(len(f.Data))
				js.CopyBytesToJS(data, f.Data)
				out.Set(f.Name, data)
			}
			resolve.Invoke(out)
		}()
		return nil
	})
	return js.Global().Get("Promise").New(work)
}

// filesOf copies the files out of JavaScript.
func filesOf(object js.Value) engine.Files {
	out := engine.Files{}
	names := js.Global().Get("Object").Call("keys", object)
	for i := range names.Length() {
		name := names.Index(i).String()
		data := object.Get(name)
		out[name] = make([]byte, data.Length())
		js.CopyBytesToGo(out[name], data)
	}
	return out
}
