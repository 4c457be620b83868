package project

import (
	"slices"

	"strew/motif/say"
)

// mostSizes is how many templates of one motif anybody keeps apart.
const mostSizes = 20

func (k key) colours(raw any, tell func(int, fault)) any {
	list, ok := raw.([]any)
	if !ok || len(list) == 0 {
		what := say.New("the list is empty")
		if !ok {
			what = say.New("%s is not a list of colours", shown(raw))
		}
		tell(-1, *faultf("%s; write them in brackets, as in %s, or leave the key out for any colour", what, k.eg))
		return nil
	}
	var all []string
	sound := true
	for i, e := range list {
		c, f := k.colour(e)
		if f != nil {
			tell(i, *f)
			sound = false
		} else if !slices.Contains(all, c.(string)) {
			all = append(all, c.(string))
		}
	}
	if !sound {
		return nil
	}
	return all
}

func (k key) sizes(raw any, tell func(int, fault)) any {
	list, ok := raw.([]any)
	switch {
	case !ok:
		tell(-1, *faultf("%s is not a list; write the sizes in brackets, as in %s", shown(raw), k.eg))
		return nil
	case len(list) == 0 || len(list) > mostSizes:
		tell(-1, *faultf("the list holds %d sizes; write 1 to %d of them, as in %s", len(list), mostSizes, k.eg))
		return nil
	}
	var all []float64
	sound := true
	for i, e := range list {
		n, ok := finite(e)
		var f *fault
		switch {
		case !ok:
			f = faultf("%s is not a size; write numbers, as in %s", shown(e), k.eg)
		case n <= k.min || n > k.max:
			f = faultf("%s is out of range; a size is above %s and at most %s times the drawing", shown(e), plainNumber(k.min), plainNumber(k.max))
		case slices.Contains(all, n):
			f = faultf("size %s is in the list twice; write each size once", plainNumber(n))
		}
		if f != nil {
			tell(i, *f)
			sound = false
		}
		all = append(all, n)
	}
	if !sound {
		return nil
	}
	return all
}

func (k key) span(raw any, u units, tell func(int, fault)) any {
	list, ok := raw.([]any)
	if !ok || len(list) != 2 {
		tell(-1, *faultf("%s is not a stretch; write where it starts and where it ends, as in %s", shown(raw), k.eg))
		return nil
	}
	var ends []float64
	for i, e := range list {
		l, f := key{is: gap, eg: `"18 cm"`}.length(e, u)
		if f != nil {
			tell(i, *f)
			continue
		}
		ends = append(ends, l.(float64))
	}
	if len(ends) < 2 {
		return nil
	}
	if ends[0] >= ends[1] {
		tell(-1, *faultf("the stretch from %s to %s has no length; write the smaller one first, as in %s", shown(list[0]), shown(list[1]), k.eg))
		return nil
	}
	return ends
}

func (k key) pairs(raw any, tell func(int, fault)) any {
	list, ok := raw.([]any)
	if !ok {
		tell(-1, *faultf("%s is not a list of pairs; write them in brackets, as in %s", shown(raw), k.eg))
		return nil
	}
	all, sound := [][2]string{}, true
	for i, e := range list {
		var pair [2]string
		names, ok := e.([]any)
		for n := 0; ok && n < len(names) && n < 2; n++ {
			var is bool
			pair[n], is = names[n].(string)
			ok = is && pair[n] != ""
		}
		switch {
		case !ok || len(names) != 2:
			tell(i, *faultf("%s is not a pair of names; write two, as in %s", shown(e), k.eg))
			sound = false
		case pair[0] == pair[1]:
			tell(i, *faultf("%q is paired with itself; write the two sides that are sewn together, as in %s", oneLine(pair[0]), k.eg))
			sound = false
		}
		all = append(all, pair)
	}
	if !sound {
		return nil
	}
	return all
}

func (k key) labels(raw any, tell func(int, fault)) any {
	list, ok := raw.([]any)
	if !ok {
		list = []any{raw}
	}
	out := make([]string, len(list))
	sound := true
	for i, e := range list {
		name, ok := e.(string)
		if !ok || name == "" {
			tell(i, *faultf("%s is not a name; write one in quotes, as in %s, or a list of them", shown(e), k.eg))
			sound = false
		}
		out[i] = name
	}
	if !sound {
		return nil
	}
	return out
}
