// Command quoin imposes label artwork for a narrow-web, roll-to-roll digital press.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "error: no verb is built yet")
	os.Exit(2)
}
