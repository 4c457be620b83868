package record

import (
	"bytes"
	"encoding/json"
	"math"
	"regexp"
	"strconv"

	"strew/motif/geom"
)

// num is a number as plan.json carries it: at most six decimals, never an
// exponent, never a minus zero.
type num float64

// MarshalJSON writes the number. It panics for NaN and infinities, which are our
// own bugs.
func (n num) MarshalJSON() ([]byte, error) {
	f := float64(n)
	if math.IsNaN(f) || math.IsInf(f, 0) {
		panic("record: NaN or infinity in a record")
	}
	f = math.Round(f*1e6)/1e6 + 0
	return strconv.AppendFloat(nil, f, 'f', -1, 64), nil
}

func deg(rad float64) num { return num(rad * 180 / math.Pi) }

type point [2]num

func pointsOf(r geom.Ring) []point {
	out := make([]point, len(r))
	for i, p := range r {
		out[i] = point{num(p.X), num(p.Y)}
	}
	return out
}

// encode writes a document as JSON, each point on one line.
func encode(doc any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(doc); err != nil {
		panic(err) // the types above always encode
	}
	return pointLines.ReplaceAll(b.Bytes(), []byte("[$1, $2]"))
}

// pointLines is a point as the encoder spreads it over four lines. No string
// can match: a line break inside one is escaped.
var pointLines = regexp.MustCompile(`\[\n\s*(-?[\d.]+),\n\s*(-?[\d.]+)\n\s*\]`)
