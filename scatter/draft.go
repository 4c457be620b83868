package scatter

import (
	"context"
	"math"
	"math/rand/v2"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// draft is a layout of one repeat: marks on the fundamental domain, those placed
// by hand first.
type draft struct {
	*domain
	rows    []row // empty where the marks run in no rows
	marks   []mark
	step    float64     // the spacing asked of this draft
	pitch   float64     // between rows
	crowded say.Message // what is too near, where the draft breaks a clearance
	jammed  bool        // too many pairs are too near to be mended
}

// mark is one cutout on a domain; turn is against the upright frame. Its anchor
// may lie from low to high below the waist. A kind below 0 is not chosen yet.
type mark struct {
	at        skirt.Place
	kind      int
	turn      float64
	row       int
	low, high float64
	fixed     bool
}

// Streams of random numbers, one for each thing decided, so that a change of one
// does not disturb the others.
const (
	streamEven uint64 = iota + 1
	streamMix
	streamTurn
	streamLoose
)

func (o *Options) random(stream uint64) *rand.Rand { return rand.New(rand.NewPCG(o.Seed, stream)) }

// draft turns planned rows into a finished repeat: lattice, loosening, mix,
// turns, clearances. exactly is how many marks a loose pattern must have; 0: as
// many as the rows hold.
func (f drafter) draft(ctx context.Context, rows []row, step, pitch float64, exactly int) (*draft, error) {
	total := 0
	for _, r := range rows {
		total += r.n
	}
	if total*f.repeat > MaxMarks {
		return nil, &Impossible{
			Key: "scatter.spacing",
			Why: say.New("this would make %d marks, and %d is the most", total*f.repeat, MaxMarks),
			Try: say.New("check the unit of the spacing or make it wider"),
		}
	}
	d := &draft{domain: f.domain, rows: rows, step: step, pitch: pitch}
	d.marks = append(d.marks, f.hands...)
	for i := range rows {
		for _, p := range rows[i].places() {
			d.marks = append(d.marks, mark{at: p, kind: -1, row: i + 1, low: f.low, high: f.high})
		}
	}
	loose := f.opt.loose()
	if loose {
		d.rows, d.pitch = nil, 0
		if exactly > 0 {
			if err := d.number(ctx, exactly); err != nil || !d.crowded.IsZero() {
				return d, err
			}
		}
		if err := d.stir(ctx); err != nil {
			return nil, err
		}
		if err := d.relaxPoints(ctx); err != nil {
			return nil, err
		}
	}
	if len(d.marks) == 0 {
		d.crowded = say.New("no place is free for a cutout")
		return d, nil
	}
	if err := d.mix(ctx); err != nil {
		return nil, err
	}
	if err := d.turnMarks(ctx); err != nil {
		return nil, err
	}
	if loose {
		if err := d.settle(ctx); err != nil {
			return nil, err
		}
	}
	if err := d.keepClear(ctx, loose); err != nil {
		return nil, err
	}
	return d, nil
}

// settle gives loose marks that have their kinds and turns their places by their
// outlines.
func (d *draft) settle(ctx context.Context) error {
	if d.seam == 0 && (d.obstacles == nil || d.obstacles.onlyIslands()) {
		if err := d.stretch(ctx); err != nil {
			return err
		}
	}
	if d.kinds.round() && len(d.hands) == 0 {
		return nil // as discs they lie evenly already
	}
	return d.relaxOutlines(ctx)
}

// stirred is the radius, in steps, within which a mark is stirred at jitter 0.5:
// over half a step, so that no trace of the rows is left.
const stirred = 0.75

// stir moves every mark at random, farther with a larger jitter.
func (d *draft) stir(ctx context.Context) error {
	r := d.opt.random(streamEven)
	amount := math.Min(1, d.opt.Jitter/0.5) * stirred * d.step
	for i := range d.marks {
		if i%chunk == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		m := &d.marks[i]
		if m.fixed {
			continue
		}
		along, across := d.density.at(m.at.Down)
		rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
		sin, cos := math.Sincos(ang)
		here := d.fold.Spot(m.at)
		m.at = d.walk(m, here, geom.Vec{X: rad * cos * along, Y: rad * sin * across}.Rotate(here.Upright)).Place
	}
	return nil
}

// stretch gives marks near waist and hem the band of their own kind and turn
// instead of the one that all have in common, and moves those at its edge to the
// edge of their own. Thus small cutouts come as near to waist and hem as large ones.
func (d *draft) stretch(ctx context.Context) error {
	if d.high <= d.low {
		return nil
	}
	margin := math.Min(d.step, (d.high-d.low)/2)
	margins := d.opt.Clearance.margins()
	return inChunks(ctx, len(d.marks), chunk, func(from, to int) {
		for i := from; i < to; i++ {
			m := &d.marks[i]
			up, down := m.at.Down-d.low, d.high-m.at.Down
			if m.fixed || math.Min(up, down) > margin {
				continue
			}
			k := &d.kinds[m.kind]
			low, high := margins.Band(d.surface, k.turned(m.turn), k.reach)
			m.low, m.high = math.Min(low+geom.Snug, d.low), math.Max(high-geom.Snug, d.high)
			was := m.at
			if up <= down {
				m.at.Down -= (d.low - m.low) * (1 - up/margin)
			} else {
				m.at.Down += (m.high - d.high) * (1 - down/margin)
			}
			if d.obstacles != nil && !d.takes(m, d.fold.Spot(m.at)) {
				m.at = was
			}
		}
	})
}
