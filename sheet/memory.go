package sheet

import (
	"slices"

	"strew/motif/geom"
)

// Memory keeps what Pack found out about the shapes for calls that come: where
// pieces keep clear of one another, and which turns fill a sheet best. It pays
// where the same items are laid again and again in other counts. The zero value
// is empty and ready; it serves one call at a time.
//
// A lay may depend on what was laid before with the same Memory. The same calls
// in the same order give the same lays.
type Memory struct {
	forms  []*form
	nofits *nofits
	made   []*bodies
	tables tables
	liked  map[string][][][]float64 // by stock, kinds and gap, the modes that filled it best
}

// begin makes the memory ready for a call.
func (m *Memory) begin() *Memory {
	if m == nil {
		m = &Memory{}
	}
	if m.nofits == nil {
		m.nofits, m.tables, m.liked = newNofits(), tables{}, map[string][][][]float64{}
	}
	return m
}

// form returns a form of the item at the gap, ready for a search in which the
// narrowest piece is so wide: one known, or a new one.
func (m *Memory) form(item int, it Item, gap, least float64) *form {
	for _, f := range m.forms {
		if f.item == item && f.gap == gap && f.least == least && f.name == it.Name && sameRegion(f.true, it.Shape) {
			return f
		}
	}
	f := newForm(item, it, gap)
	f.idle(least)
	m.forms = append(m.forms, f)
	return f
}

// bodies returns the bodies of the forms on felt of the nap and inner size, with
// the clashes found so far: those known, or new ones.
func (m *Memory) bodies(fs []*form, nap Nap, w, h float64) *bodies {
	for _, c := range m.made {
		if c.bed == (bed{nap, w, h}) && slices.EqualFunc(c.all, fs, func(b *body, f *form) bool { return b.form == f }) {
			return c
		}
	}
	c := newBodies(fs, nap, w, h, m.tables)
	m.made = append(m.made, c)
	return c
}

func sameRegion(a, b geom.Region) bool {
	return slices.EqualFunc(a.Rings(), b.Rings(), func(r, s geom.Ring) bool { return slices.Equal(r, s) })
}
