package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"strings"
	"time"
)

// visitCommand is a browser for scripts: "visit OUTPUT CALL [JSON]" waits until the
// file OUTPUT, which strew page prints to, has the address; opens it; makes the call
// "POST /api/CALL" with the JSON object; and prints the answer. The calls "page" and
// "address" print the page itself and the address without the key.
func visitCommand() {
	if err := visit(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "visit:", err)
		os.Exit(1)
	}
}

func visit(args []string) error {
	var address string
	for deadline := time.Now().Add(time.Minute); address == ""; {
		data, err := os.ReadFile(args[0])
		if line, _, whole := strings.Cut(string(data), "\n"); err == nil && whole {
			address = strings.TrimPrefix(line, "page ")
		} else if time.Now().After(deadline) {
			return fmt.Errorf("no address: %s, %v", data, err)
		} else {
			time.Sleep(10 * time.Millisecond)
		}
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		return err
	}
	web := &http.Client{Jar: jar, Transport: &http.Transport{}}
	a, err := web.Get(address)
	if err != nil {
		return err
	}
	at, _, _ := strings.Cut(address, "?")
	switch args[1] {
	case "page":
	case "address":
		fmt.Println(at)
		return nil
	default:
		body := "{}"
		if len(args) > 2 {
			body = os.ExpandEnv(args[2])
		}
		a.Body.Close()
		if a, err = web.Post(at+"api/"+args[1], "application/json", bytes.NewBufferString(body)); err != nil {
			return err
		}
	}
	defer a.Body.Close()
	fmt.Println(a.Status)
	_, err = io.Copy(os.Stdout, a.Body)
	return err
}

// toFileCommand is strew for scripts that prints to a file: "strewto OUTPUT ARGS…".
func toFileCommand() {
	out, err := os.Create(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, "strewto:", err)
		os.Exit(1)
	}
	os.Stdout = out
	os.Args = append(os.Args[:1], os.Args[2:]...)
	main()
}
