// Command sunstoker looks after solar water heaters. Every command is one
// small file here; what they do lives in the other packages.
package main

import (
	"context"
	"os"
	_ "time/tzdata" // boards without a zone database still know their civil time
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
