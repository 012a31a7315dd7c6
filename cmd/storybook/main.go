// Command storybook serves every page of the site, in each of its states, from fixed data.
// It is for people who work on the pages and needs no database.
package main

import (
	"flag"
	"fmt"
	"net/http"
	"os"
	"time"

	"saltbush/web/storybook"
)

func main() {
	listen := flag.String("listen", "127.0.0.1:8081", "where to serve")
	flag.Parse()
	fmt.Printf("Page states on http://%s%s\n", *listen, storybook.Path)
	server := &http.Server{Addr: *listen, Handler: storybook.Handler(), ReadHeaderTimeout: 10 * time.Second}
	if err := server.ListenAndServe(); err != nil {
		fmt.Fprintln(os.Stderr, "storybook:", err)
		os.Exit(1)
	}
}
