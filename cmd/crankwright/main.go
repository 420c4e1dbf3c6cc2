// Command crankwright chooses, sizes and defends the crank train of a multi-cylinder engine.
//
// Every verb reads flags, makes one call, writes the result and ends with an exit code: 0 done, 1 the
// input is wrong, 2 the command line is wrong, 3 something else failed.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
