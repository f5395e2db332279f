package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"runtime/metrics"
	"time"

	"github.com/spf13/pflag"
)

// limits are what one run may use. The evaluator can't be told to stop, so a watchdog ends the process.
type limits struct {
	time      time.Duration
	megabytes int
}

func (l *limits) flags(f *pflag.FlagSet) {
	f.DurationVar(&l.time, "most-time", time.Minute, "give up after this time, with status 3")
	f.IntVar(&l.megabytes, "most-memory", 1500, "give up beyond this much memory (MB), with status 3")
}

func (l *limits) check() error {
	if l.megabytes < 1 || l.time <= 0 {
		return errors.New("--most-memory wants one megabyte or more, and --most-time some time")
	}
	return nil
}

// largestStack lets a long chain of references use memory, which the watchdog sees, before it overflows the stack, which nothing sees.
const largestStack = 8 << 30

// collectFrom is the memory in use from which garbage is collected.
const collectFrom = 128 << 20

// watch starts the watchdog and returns what ends it.
func (l limits) watch(stderr io.Writer) (stop func()) {
	debug.SetMaxStack(largestStack)
	// One spec needs less memory than collecting garbage is worth; many are kept to this much.
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(collectFrom)
	done := make(chan struct{})
	go func() {
		sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
		tick := time.NewTicker(10 * time.Millisecond)
		defer tick.Stop()
		deadline := time.Now().Add(l.time)
		for {
			select {
			case <-done:
				return
			case now := <-tick.C:
				metrics.Read(sample)
				used := sample[0].Value.Uint64() - sample[1].Value.Uint64()
				switch {
				case used > uint64(l.megabytes)<<20:
					fmt.Fprintf(stderr, "trammel: gave up: the specs need more than %d MB of memory; look for a list or a loop that grows without end, or allow more with --most-memory\n", l.megabytes)
				case now.After(deadline):
					fmt.Fprintf(stderr, "trammel: gave up after %v; look for a list or a loop that grows without end, or allow more with --most-time\n", l.time)
				default:
					continue
				}
				os.Exit(exitLimited)
			}
		}
	}()
	return func() { close(done) }
}
