// Command load puts the workbench under load and says how it bears that: how many requests of each kind it answers, how fast,
// and, with -soak, whether it holds more and more memory, files or goroutines when it serves for long. It starts a workbench of
// its own on a copy of the examples, talks to 127.0.0.1 only and stops by itself.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"strconv"
	"strings"
	"time"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

// The bounds of what may be asked for.
const (
	longestLoad = time.Minute
	longestSoak = 24 * time.Hour
	mostAtOnce  = 256
)

func run() (err error) {
	binary := flag.String("program", "bin/crankwright", "the program to start")
	examples := flag.String("examples", "examples", "folder whose files are served, copied")
	each := flag.Duration("for", 5*time.Second, "how long each kind of request is sent at each concurrency")
	at := flag.String("at", "1,8,64", "how many requests are under way at once, one after the other")
	long := flag.Duration("soak", 0, "send all kinds mixed for this long instead, and say every minute what the workbench holds")
	rate := flag.Float64("rate", 20, "requests a second of the soak")
	flag.Parse()
	var counts []int
	for text := range strings.SplitSeq(*at, ",") {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > mostAtOnce {
			return fmt.Errorf("-at: %q is no concurrency; give numbers from 1 to %d, such as 1,8,64", text, mostAtOnce)
		}
		counts = append(counts, n)
	}
	if *each <= 0 || *each > longestLoad || *long < 0 || *long > longestSoak || *rate <= 0 || *rate > 1000 {
		return fmt.Errorf("-for is above 0 and at most %v, -soak from 0 to %v, -rate above 0 and at most 1000", longestLoad, longestSoak)
	}
	ctx, done := signal.NotifyContext(context.Background(), os.Interrupt)
	defer done()
	lives := context.WithoutCancel(ctx) // the program ends with the last look at it, not with Ctrl-C
	fresh, err := goroutinesAtRest(lives, *binary, *examples)
	if err != nil {
		return err
	}
	p, err := begin(lives, *binary, *examples)
	if err != nil {
		return err
	}
	if *long > 0 {
		err = soak(ctx, p, *long, *rate)
	} else {
		err = load(ctx, p, *each, counts)
	}
	left, said, ending := p.end()
	if said != "" {
		fmt.Printf("\nIt said:\n%s\n", said)
	}
	fmt.Printf("\nGoroutines in the end: %d; of a workbench that was never asked: %d.\n", left, fresh)
	return errors.Join(err, ending)
}

// goroutinesAtRest counts the goroutines of a workbench of which nobody asks anything.
func goroutinesAtRest(ctx context.Context, binary, examples string) (int, error) {
	p, err := begin(ctx, binary, examples)
	if err != nil {
		return 0, err
	}
	time.Sleep(3 * time.Second) // it evaluates the folder
	n, _, err := p.end()
	return n, err
}
