// Loopdrill turns scenarios of fictional plant signal loops with faults into
// randomised exercises, answer keys and workbooks for instrumentation
// apprentices.
package main

import "os"

func main() {
	a := app{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr}
	os.Exit(a.Main(os.Args[1:]))
}
