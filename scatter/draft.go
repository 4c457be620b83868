package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// draft is a layout of one repeat: marks on the folded surface, those placed by
// hand first.
type draft struct {
	fold    skirt.Surface
	repeat  int
	rows    []rowPlan // empty where the marks run in no rows
	marks   []mark
	step    float64 // the spacing asked of this draft
	pitch   float64 // between rows
	crowded string  // the pair that is too near, where the draft is not sound
}

// mark is one cutout on a folded surface; turn is against the upright frame.
// Its anchor may lie from low to high below the waist. A kind below 0 is not
// chosen yet.
type mark struct {
	at        skirt.Place
	kind      int
	turn      float64
	row       int
	low, high float64
	fixed     bool
}

// draft turns planned rows into a finished repeat: lattice, loosening, mix,
// turns, clearances. exactly is how many marks a loose pattern is made to have; 0:
// as many as the rows hold.
func (j *job) draft(f folded, rows []rowPlan, step, pitch float64, exactly int) (*draft, error) {
	total := 0
	for _, r := range rows {
		total += r.n
	}
	if total*f.repeat > MaxMarks {
		return nil, &Impossible{
			Why: fmt.Sprintf("this would make %d marks, and %d is the most", total*f.repeat, MaxMarks),
			Try: "check the unit of the spacing or make it wider",
		}
	}
	d := &draft{fold: f.fold, repeat: f.repeat, rows: rows, step: step, pitch: pitch, marks: j.byHand(f)}
	hands := len(d.marks)
	for i, r := range rows {
		for _, p := range j.lattice(f, r) {
			d.marks = append(d.marks, mark{at: p, kind: -1, row: i + 1, low: f.low, high: f.high})
		}
	}
	loose := j.loose()
	if loose {
		d.rows, d.pitch = nil, 0
		if exactly > 0 {
			if err := j.number(d, f, exactly); err != nil {
				return nil, err
			}
		}
		j.stir(d, f)
		if err := j.relax(f, d.marks, step, false); err != nil {
			return nil, err
		}
	}
	if len(d.marks) == 0 {
		d.crowded = "no place is free for a cutout"
		return d, nil
	}
	j.mix(d)
	j.turn(d)
	if loose {
		if f.seam == 0 && f.ground == nil && f.surface.Banded() {
			j.stretch(d)
		}
		if !j.round() || hands > 0 {
			if err := j.relax(f, d.marks, step, true); err != nil {
				return nil, err
			}
		}
	}
	if err := j.clear(d, f, loose); err != nil {
		return nil, err
	}
	return d, nil
}

// loose reports whether marks leave their rows.
func (j *job) loose() bool { return j.opt.Pattern == Polka && j.opt.Jitter > 0 }

// round reports whether all motifs on the cloth are discs.
func (j *job) round() bool {
	for k, s := range j.shapes {
		if !s.round && (s.strewn() || j.fixes(k)) {
			return false
		}
	}
	return true
}

// stirred is the radius, in steps, within which a mark is stirred at jitter 0.5:
// over half a step, so that no trace of the rows is left.
const stirred = 0.75

// stir moves every mark at random, the farther the larger the jitter.
func (j *job) stir(d *draft, f folded) {
	r := j.random(streamEven)
	for i := range d.marks {
		m := &d.marks[i]
		if m.fixed {
			continue
		}
		along, across := f.density.at(m.at.Down)
		amount := math.Min(1, j.opt.Jitter/0.5) * stirred * d.step
		rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
		sin, cos := math.Sincos(ang)
		here := f.fold.Spot(m.at)
		m.at = f.walk(m, here, geom.Vec{X: rad * cos * along, Y: rad * sin * across}.Rotate(here.Upright)).Place
	}
}

// stretch gives marks near waist and hem the band of their own kind and turn
// instead of the one that all have in common, and moves those at its edge to the
// edge of their own. Small cutouts so come as near to waist and hem as large ones.
func (j *job) stretch(d *draft) {
	z := j.zone
	if z.high <= z.low {
		return
	}
	margin := math.Min(d.step, (z.high-z.low)/2)
	parallel((len(d.marks)+chunk-1)/chunk, func(k int) {
		for i := k * chunk; i < min(len(d.marks), (k+1)*chunk); i++ {
			m := &d.marks[i]
			up, down := m.at.Down-z.low, z.high-m.at.Down
			if m.fixed || math.Min(up, down) > margin {
				continue
			}
			s := z.shapes[m.kind]
			low, high := band(j.surface, s.turned(m.turn), s.reach, j.opt.Clearance)
			m.low, m.high = math.Min(low+geom.Snug, z.low), math.Max(high-geom.Snug, z.high)
			if up <= down {
				m.at.Down -= (z.low - m.low) * (1 - up/margin)
			} else {
				m.at.Down += (m.high - z.high) * (1 - down/margin)
			}
		}
	})
}

// number adds marks where the cloth is barest, or takes out the most crowded,
// until there are exactly n.
func (j *job) number(d *draft, f folded, n int) error {
	hands := 0
	for _, m := range d.marks {
		if m.fixed {
			hands++
		}
	}
	gap := math.Max(f.sampleGap(), d.step/5)
	var bare []skirt.Spot
	if len(d.marks) < n {
		f.sample(gap, func(at skirt.Spot) {
			if j.offHand(f, at, d.marks[:hands]) {
				bare = append(bare, at)
			}
		})
		if len(bare) < n-len(d.marks) {
			d.crowded = "they would need more cloth than there is"
			return nil
		}
	}
	x := skirt.NewSpots(f.fold, f.low, f.high, d.step)
	for _, m := range d.marks {
		x.Add(f.fold.Spot(m.at))
	}
	far := make([]float64, len(bare))
	for i, at := range bare {
		if _, far[i] = x.Nearest(at, d.step, -1); x.Len() == 0 {
			far[i] = math.Inf(1)
		}
	}
	for len(d.marks) < n {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		best := 0
		for i := range far {
			if far[i] > far[best] {
				best = i
			}
		}
		d.marks = append(d.marks, mark{at: bare[best].Place, kind: -1, row: 1, low: f.low, high: f.high})
		id := x.Add(bare[best])
		y := skirt.NewSpots(f.fold, f.low, f.high, d.step)
		y.Add(x.At(id))
		for i, at := range bare {
			if _, l := y.Nearest(at, d.step, -1); l < far[i] {
				far[i] = l
			}
		}
	}
	for len(d.marks) > n {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		worst, least := len(d.marks)-1, math.Inf(1)
		x := skirt.NewSpots(f.fold, f.low, f.high, d.step)
		for _, m := range d.marks {
			x.Add(f.fold.Spot(m.at))
		}
		for i := hands; i < len(d.marks); i++ {
			if _, l := x.Nearest(x.At(i), d.step, i); l < least {
				worst, least = i, l
			}
		}
		d.marks = append(d.marks[:worst], d.marks[worst+1:]...)
	}
	return nil
}
