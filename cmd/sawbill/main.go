// Command sawbill plans what to buy and how to cut it: bars and sheets from a
// cut list, with a proof of how cheap it can be, and the paper to work from.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }
