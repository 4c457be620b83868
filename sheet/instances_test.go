//go:build measure

package sheet

import (
	"fmt"
	"syscall"
	"testing"
	"time"

	"strew/sheet/shapetest/instance"
)

// job is a job of packing from the literature.
type job struct {
	name  string
	items []Item
	stock Stock
	gap   float64
	best  float64 // density in %, 0: not known
}

// instances returns those of instance.Instances as items and stock.
func instances(t testing.TB) []job {
	var out []job
	for _, in := range instance.Instances(t) {
		j := job{name: in.Name, gap: in.Gap, best: in.Best}
		for i, g := range in.Shapes {
			j.items = append(j.items, Item{Name: fmt.Sprintf("piece %d", i+1), Shape: g, Colour: "#808080", Count: in.Counts[i]})
		}
		j.stock = Stock{Name: "sheet", Width: in.Bed.Width(), Height: in.Bed.Height(), Nap: in.Bed.Nap}
		if in.Bed.IsOpen() {
			j.stock = Stock{Name: "roll", Roll: true, Width: in.Bed.Width(), Nap: in.Bed.Nap}
		}
		out = append(out, j)
	}
	return out
}

// cpuTime returns the processor time used so far, which a busy machine does
// not stretch as it does the time on the clock; 0 where it cannot be told.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
