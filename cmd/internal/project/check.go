package project

import (
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/currency"

	"strew/motif/geom"
	"strew/motif/say"
)

// spares is what `spare` says: a share of the cutouts or a count.
type spares struct {
	share float64
	count int
}

// fault is what is wrong with a value.
type fault struct {
	msg  say.Message // what is wrong; then what is allowed
	hint say.Message // zero or a guess at what was meant
}

func faultf(format string, args ...any) *fault { return &fault{msg: say.New(format, args...)} }

// units is how bare numbers are read.
type units struct {
	bare  geom.Unit
	known bool   // false: the file's unit is itself faulty, so sizes are not judged
	whose string // a sentence for an error that says who set the unit, with a place for it
}

// check turns a value as TOML has it into the one that the key means: a
// string, bool, int, float64 (lengths in millimetres), []string, []float64,
// [][2]string or spares. Each fault goes to tell, with the element of a list that it is in,
// or -1; after a fault the result is nil.
func (k key) check(raw any, u units, tell func(element int, f fault)) any {
	var v any
	var f *fault
	switch k.is {
	case money:
		v, f = k.currency(raw)
	case text, label:
		v, f = k.text(raw)
	case word:
		v, f = k.word(raw)
	case drawing:
		v, f = k.drawing(raw)
	case length, gap, lengthOr:
		v, f = k.length(raw, u)
	case number, cost:
		v, f = k.number(raw)
	case count:
		v, f = k.count(raw)
	case truth:
		v, f = k.truth(raw)
	case colour:
		v, f = k.colour(raw)
	case spare:
		v, f = k.spare(raw)
	case glueStick:
		v, f = k.glueStick(raw, u)
	case colours:
		return k.colours(raw, tell)
	case sizes:
		return k.sizes(raw, tell)
	case span:
		return k.span(raw, u, tell)
	case labels:
		return k.labels(raw, tell)
	case pairs:
		return k.pairs(raw, tell)
	default:
		panic(fmt.Sprintf("project: key %s has no kind", k.name))
	}
	if f != nil {
		tell(-1, *f)
		return nil
	}
	return v
}

// shown returns a value as an error quotes it: a string, or a message for what has
// no short text.
func shown(raw any) any {
	switch v := raw.(type) {
	case string:
		return `"` + short(v) + `"`
	case bool:
		return strconv.FormatBool(v)
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return plainNumber(v)
	case []any:
		return say.New("a list")
	case map[string]any:
		return say.New("a table")
	}
	return say.New("a date or time")
}

// short returns text on one line and at most 40 characters long.
func short(text string) string {
	if utf8.RuneCountInString(text) > 40 {
		text = string([]rune(text)[:39]) + "…"
	}
	return oneLine(text)
}

// oneLine puts a blank for every control character.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// plainNumber writes a number as a file would.
func plainNumber(f float64) string {
	switch {
	case math.IsNaN(f):
		return "nan"
	case math.IsInf(f, 0):
		return strings.Trim(strings.ToLower(strconv.FormatFloat(f, 'g', -1, 64)), "+")
	}
	if f != 0 && (math.Abs(f) >= 1e9 || math.Abs(f) < 1e-6) {
		return strconv.FormatFloat(f, 'g', 6, 64)
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// finite reads an integer or a float that is a number.
func finite(raw any) (float64, bool) {
	switch v := raw.(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	return 0, false
}

func (k key) text(raw any) (any, *fault) {
	s, ok := raw.(string)
	if !ok {
		return nil, faultf("%s is not text; write it in quotes, as in %s", shown(raw), k.eg)
	}
	s = strings.TrimSpace(s)
	switch n := utf8.RuneCountInString(s); {
	case n < int(k.min):
		return nil, faultf("it is empty; write a name, as in %s", k.eg)
	case n > int(k.max):
		return nil, faultf("it is too long (%d characters); write at most %s", n, plainNumber(k.max))
	}
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }) {
		return nil, faultf("it holds a line break, a tab or another control character; write it on one line, as in %s", k.eg)
	}
	return s, nil
}

// usual are the currencies proposed in place of an unknown code.
var usual = []string{"EUR", "GBP", "USD", "CHF", "AUD", "CAD", "NZD", "SEK", "NOK", "DKK", "PLN", "CZK", "HUF", "RON", "TRY", "UAH", "JPY", "CNY", "KRW", "INR", "BRL", "MXN", "ZAR"}

// currency takes any short text without digits, as a sign or a word will do. Three letters must
// be a code of ISO 4217, or a typing error would show on every sum.
func (k key) currency(raw any) (any, *fault) {
	got, f := k.text(raw)
	if f != nil {
		return nil, f
	}
	s := got.(string)
	if strings.ContainsAny(s, "0123456789<>") {
		return nil, faultf("%s is not a currency; write its three letters, as in %s, or a sign", shown(raw), k.eg)
	}
	if len(s) != 3 || strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII || !unicode.IsLetter(r) }) {
		return s, nil
	}
	unit, err := currency.ParseISO(s)
	if err != nil {
		return nil, &fault{say.New("%s is not a currency; write its three letters by ISO 4217, as in %s, or a sign", shown(raw), k.eg), didYouMean(Nearest(s, usual))}
	}
	return unit.String(), nil
}

func (k key) word(raw any) (any, *fault) {
	s, ok := raw.(string)
	if !ok {
		return nil, faultf("%s is not allowed here; write %s", shown(raw), quoted(k.words))
	}
	for _, w := range k.words {
		if s == w || k.anyCase && strings.EqualFold(s, w) {
			return w, nil
		}
	}
	guess := Nearest(s, k.words)
	for _, w := range k.words {
		if guess == "" && strings.HasPrefix(s, w) { // "inch" for "in"
			guess = w
		}
	}
	return nil, &fault{say.New("%s is not known; write %s", shown(raw), quoted(k.words)), didYouMean(guess)}
}

func (k key) truth(raw any) (any, *fault) {
	if b, ok := raw.(bool); ok {
		return b, nil
	}
	return nil, faultf("%s is neither yes nor no; write true or false, without quotes", shown(raw))
}

// drawings are the kinds of file a motif may be drawn in.
var drawings = []string{".svg", ".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp"}

// IsDrawing reports whether a file of the name may be a motif's drawing.
func IsDrawing(name string) bool {
	return slices.Contains(drawings, strings.ToLower(filepath.Ext(name)))
}

func (k key) drawing(raw any) (any, *fault) {
	s, ok := raw.(string)
	switch {
	case !ok:
		return nil, faultf("%s is not the path of a file; write it in quotes, as in %s", shown(raw), k.eg)
	case strings.TrimSpace(s) == "":
		return nil, faultf("it is empty; write the path of a drawing, as in %s", k.eg)
	case strings.ContainsFunc(s, unicode.IsControl):
		return nil, faultf("%s holds a control character; a \\ in a path is best written /, as in \"drawings/ginkgo.svg\"", shown(raw))
	case !IsDrawing(s):
		return nil, faultf("%s is not a supported drawing; write the path of an SVG file, as in %s", shown(raw), k.eg)
	}
	return s, nil
}

// length checks kinds length, gap and lengthOr.
func (k key) length(raw any, u units) (any, *fault) {
	var mm float64
	bare := ""
	if s, ok := raw.(string); ok && slices.Contains(k.words, s) {
		return s, nil
	} else if ok && utf8.RuneCountInString(s) > nameLength {
		return nil, faultf("%s is not a length; write it like %s", shown(raw), k.eg)
	} else if ok {
		l, err := geom.ParseLength(s, u.bare)
		if err != nil {
			return nil, &fault{msg: say.New("%s", err)}
		}
		mm = float64(l)
		if unitOf(s) == "" {
			bare = strings.TrimSpace(s)
		}
	} else if n, ok := finite(raw); ok {
		mm, bare = n*u.bare.MM(), plainNumber(n)
	} else if k.is == lengthOr {
		return nil, faultf("%s is not a length; write %s or one like \"2 cm\"", shown(raw), quoted(k.words))
	} else {
		return nil, faultf("%s is not a length; write it like %s, or as a bare number in %s", shown(raw), k.eg, u.bare)
	}
	said := shown(raw)
	if bare != "" {
		said = bare + " " + string(u.bare)
	}
	// With a bare number, the unit may be what is wrong.
	doubt := func(what say.Message) *fault {
		if bare != "" {
			what = say.New("%s; %s", what, say.New(u.whose, string(u.bare)))
		}
		return &fault{msg: what}
	}
	switch {
	case mm < 0:
		if k.is == gap {
			return nil, faultf("%s is negative; write 0 or more", said)
		}
		return nil, faultf("%s is negative; write a length above 0", said)
	case mm == 0 && k.is != gap:
		return nil, faultf("%s is too small; write a length above 0", said)
	case !u.known && bare != "":
	case mm > max(longest, k.max):
		return nil, doubt(say.New("%s is longer than %.0f m, probably in the wrong unit", said, max(longest, k.max)/1000))
	case mm < k.min:
		return nil, doubt(say.New("%s is too small: %s", said, k.why))
	case k.max > 0 && mm > k.max:
		return nil, doubt(say.New("%s is too large: %s", said, k.why))
	}
	return mm + 0, nil
}

func (k key) number(raw any) (any, *fault) {
	n, ok := finite(raw)
	if s, is := raw.(string); is && strings.Contains(s, ",") {
		return nil, faultf("%s is not a number; write the decimal mark as a point and no mark between thousands, as in %s", shown(raw), k.eg)
	}
	if !ok {
		return nil, faultf("%s is not a number; write one from %s to %s, as in %s", shown(raw), plainNumber(k.min), plainNumber(k.max), k.eg)
	}
	if n < k.min || n > k.max {
		return nil, faultf("%s is out of range; write a number from %s to %s: %s", shown(raw), plainNumber(k.min), plainNumber(k.max), k.why)
	}
	return n + 0, nil
}

func (k key) count(raw any) (any, *fault) {
	n, ok := finite(raw)
	if !ok || n != math.Trunc(n) {
		return nil, faultf("%s is not a whole number; write one like %s", shown(raw), k.eg)
	}
	if i, exact := raw.(int64); exact && k.max == math.MaxInt64 && i >= 0 {
		return int(i), nil
	}
	switch {
	case n < 0 && k.max == math.MaxInt64:
		return nil, faultf("%s is negative; write a whole number of 0 or more", shown(raw))
	case k.max == math.MaxInt64 && n > 1<<53:
		return nil, faultf("%s is too large to be exact; write it without a decimal point", shown(raw))
	case n < k.min || n > k.max:
		return nil, faultf("%s is out of range; write a whole number from %s to %s: %s", shown(raw), plainNumber(k.min), plainNumber(k.max), k.why)
	}
	return int(n), nil
}

var hexColour = regexp.MustCompile(`^#([0-9a-f]{3}|[0-9a-f]{6})$`)

func (k key) colour(raw any) (any, *fault) {
	s, ok := raw.(string)
	low := strings.ToLower(strings.TrimSpace(s))
	switch {
	case !ok:
		return nil, faultf("%s is not a colour; write it like %s", shown(raw), `"#d9a521"`)
	case !hexColour.MatchString(low):
		f := faultf("%s is not a colour; write # and 3 or 6 of the digits 0-9 a-f, like %s", shown(raw), `"#d9a521"`)
		if hexColour.MatchString("#" + low) {
			f.hint = didYouMean("#" + low)
		}
		return nil, f
	case len(low) == 4:
		low = string([]byte{'#', low[1], low[1], low[2], low[2], low[3], low[3]})
	}
	return low, nil
}

func (k key) spare(raw any) (any, *fault) {
	allowed := say.New(`write a share, like "5%", or a whole number for a count`)
	if s, ok := raw.(string); ok {
		digits, percent := strings.CutSuffix(strings.TrimSpace(s), "%")
		n, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(digits), ",", ".", 1), 64)
		switch {
		case !percent || err != nil || math.IsNaN(n):
			return nil, faultf("%s is neither a share nor a count; %s", shown(raw), allowed)
		case n < 0 || n > 100:
			return nil, faultf("%s is out of range; write a share from 0%% to 100%%", shown(raw))
		}
		return spares{share: n / 100}, nil
	}
	n, ok := finite(raw)
	switch {
	case ok && n > 0 && n < 1:
		return nil, &fault{say.New("%s is neither a share nor a count; %s", shown(raw), allowed), didYouMean(plainNumber(math.Round(n*1e6)/1e4) + "%")}
	case !ok || n != math.Trunc(n):
		return nil, faultf("%s is neither a share nor a count; %s", shown(raw), allowed)
	case n < 0 || n > k.max:
		return nil, faultf("%s is out of range; write a count from 0 to %s, or a share like \"5%%\"", shown(raw), plainNumber(k.max))
	}
	return spares{count: int(n)}, nil
}

func (k key) glueStick(raw any, u units) (any, *fault) {
	s, ok := raw.(string)
	parts := stickParts(s)
	if !ok || len(parts) != 2 {
		return nil, faultf("%s is not the size of a stick; write how thick and how long, as in %s", shown(raw), k.eg)
	}
	var size [2]float64
	for i, part := range parts {
		l, f := key{is: length, eg: `"11 mm"`}.length(part, u)
		if f != nil {
			return nil, f
		}
		size[i] = l.(float64)
	}
	if size[0] >= size[1] {
		return nil, faultf("%s is thicker than it is long; write the thickness first, as in %s", shown(raw), k.eg)
	}
	return size[:], nil
}
