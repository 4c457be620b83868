package project

import (
	"math"
	"slices"

	"github.com/pelletier/go-toml/v2"

	"strew/motif/geom"
	"strew/motif/say"
)

// TableInfo describes a table of the project file for whoever makes controls for
// its keys.
type TableInfo struct {
	Name string    `json:"name"`           // "" for the keys above all tables
	Many bool      `json:"many,omitempty"` // it may stand any number of times
	What string    `json:"what,omitempty"` // of such a table: what each one is
	Keys []KeyInfo `json:"keys"`
}

// KeyInfo describes a key of the project file.
type KeyInfo struct {
	Name string `json:"name"`
	// Kind is "text", "currency", "name", "choice", "drawing", "length", "length or
	// choice", "number", "price", "count", "yes or no", "colour", "colours", "sizes",
	// "spare", "stretch", "pairs", "names" or "stick".
	Kind    string   `json:"kind"`
	Min     float64  `json:"min,omitempty"`    // of numbers; of lengths, in mm; of names, their characters
	Max     float64  `json:"max,omitempty"`    // likewise; 0: none
	Zero    bool     `json:"zero,omitempty"`   // a length of 0 is allowed
	Why     string   `json:"why,omitempty"`    // the reason for the range
	Words   []string `json:"words,omitempty"`  // that may be chosen
	Default string   `json:"def,omitempty"`    // as the control shows it; "" where it follows from other keys, or there is none
	Example string   `json:"eg"`               // likewise
	Needed  string   `json:"needed,omitempty"` // of a key that must be given: what it is
	// Beside is another key of the table, and With those of its words with which
	// this key counts; with others it does nothing. "": it always counts.
	Beside string   `json:"beside,omitempty"`
	With   []string `json:"with,omitempty"`
}

// kindWords are the kinds as KeyInfo names them.
var kindWords = map[kind]string{
	text: "text", money: "currency", label: "name", word: "choice", drawing: "drawing", length: "length", gap: "length", lengthOr: "length or choice",
	number: "number", cost: "price", count: "count", truth: "yes or no", colour: "colour", colours: "colours", sizes: "sizes", spare: "spare", span: "stretch",
	pairs: "pairs", labels: "names", glueStick: "stick",
}

// Schema describes all tables of the project file and their keys, in the order in
// which an error lists them. Texts are the printer's; defaults and examples of
// lengths are in its unit.
func Schema(p say.Printer) []TableInfo {
	unit := p.Unit
	if unit.MM() == 0 {
		unit = geom.Millimetre
	}
	out := make([]TableInfo, len(schema))
	for i, t := range schema {
		out[i] = TableInfo{Name: t.name, Many: t.many, What: p.Message(t.what)}
		for _, k := range t.keys {
			info := k.info(p, unit)
			for _, only := range idles {
				if only.table == t.name && only.key == k.name {
					info.Beside, info.With = only.beside, slices.Clone(only.words)
				}
			}
			out[i].Keys = append(out[i].Keys, info)
		}
	}
	return out
}

func (k key) info(p say.Printer, unit geom.Unit) KeyInfo {
	example, _ := k.withUnit(exampleValue(k.eg), geom.Centimetre) // bare lengths of examples are in it
	info := KeyInfo{
		Name: k.name, Kind: kindWords[k.is], Min: k.min, Max: k.max, Zero: k.is == gap,
		Why: p.Message(k.why), Words: slices.Clone(k.words), Needed: p.Message(k.need),
		Default: k.meaning(k.def, unit), Example: k.control(example, unit),
	}
	if k.is.isLength() && k.max == 0 {
		info.Max = longest
	}
	if k.max == math.MaxInt64 {
		info.Max = 1 << 53 // the largest that a number in a browser holds exactly
	}
	return info
}

// exampleValue is an example as a file has it when it is read.
func exampleValue(eg string) any {
	var file struct{ V any }
	if err := toml.Unmarshal([]byte("v = "+eg), &file); err != nil {
		panic(err) // every example is tested
	}
	return file.V
}
