package sheet

import "slices"

// progress counts what is laid and reports it. The zero progress reports to nobody.
type progress struct {
	tell      func(Progress)
	stock     []Stock
	done, all int
	needs     []Need // of the colours that are done
}

// report reports how many pieces of the current colour are done, and the order for its
// best sheets so far; none where it has not all been laid.
func (p *progress) report(more int, sheets []Sheet, colour string) {
	if p.tell != nil {
		best := append(slices.Clone(p.needs), needs(p.stock, sheets, colour)...)
		p.tell(Progress{Done: min(p.done+more, p.all), Total: p.all, Best: best})
	}
}

// finish notes that a colour is done.
func (p *progress) finish(pieces int, needs []Need) {
	p.done += pieces
	p.needs = append(p.needs, needs...)
	p.report(0, nil, "")
}
