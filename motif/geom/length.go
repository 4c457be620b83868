package geom

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Length is a length in millimetres where people write or read it; inside,
// lengths are plain float64 millimetres.
type Length float64

// Unit is a unit of length.
type Unit string

// The units a length may carry.
const (
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Metre      Unit = "m"
	Inch       Unit = "in"
	Foot       Unit = "ft"
	Yard       Unit = "yd" // by which cloth is sold
)

// MM returns how many millimetres one u is, 0 for an unknown unit. The inch is
// exactly 25.4 mm (international yard and pound agreement, 1959).
func (u Unit) MM() float64 {
	switch u {
	case Millimetre:
		return 1
	case Centimetre:
		return 10
	case Metre:
		return 1000
	case Inch:
		return 25.4
	case Foot:
		return 304.8
	case Yard:
		return 914.4
	}
	return 0
}

// vulgar holds the fractions of Unicode that keyboards and word processors make.
var vulgar = map[rune]string{
	'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
	'⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
}

// LengthError is why a text is not a length: a sentence in English as a format
// of package fmt, and its values, one of which may be another LengthError.
// (Package say, which makes such sentences elsewhere, stands above this one.)
type LengthError struct {
	Text string
	Args []any
}

// Error writes the sentence in English.
func (e *LengthError) Error() string {
	if len(e.Args) == 0 {
		return e.Text
	}
	return fmt.Sprintf(e.Text, e.Args...)
}

func lengthError(text string, args ...any) *LengthError { return &LengthError{text, args} }

// ParseLength reads a length as people write it: "7 cm", "65mm", "2.5 in",
// "7,5 cm", "2 3/4 in", "2-3/4\"", "4½in", "5 ft 4 in". A number without a unit is
// in bare. The decimal mark is a point or a comma; "1,500 mm", in which the comma
// might as well set off thousands, is refused with both readings. The result is
// finite and may be negative. An error is a *LengthError.
func ParseLength(text string, bare Unit) (Length, error) {
	l, err := parseLength(text, bare)
	if err != nil && reflect.DeepEqual(err, noNumber(strings.TrimSpace(text))) { // all of it: that is said already
		return 0, lengthError(`%q is not a length; write it like "7 cm", "65 mm" or "2 3/4 in"`, text)
	}
	if err != nil {
		return 0, lengthError(`%q is not a length: %s; write it like "7 cm", "65 mm" or "2 3/4 in"`, text, err)
	}
	return l, nil
}

// noNumber is the error where a number should begin.
func noNumber(at string) *LengthError { return lengthError("there is no number before %q", at) }

func parseLength(text string, bare Unit) (Length, *LengthError) {
	s := strings.TrimSpace(text)
	neg := false
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		neg, s = true, strings.TrimSpace(rest)
	}
	if s == "" {
		return 0, lengthError("there is no number")
	}
	var b strings.Builder
	for _, r := range s {
		switch f := vulgar[r]; {
		case f != "":
			b.WriteString(" " + f)
		case r == '′':
			b.WriteString("'")
		case r == '″' || r == '”':
			b.WriteString("\"")
		case r == '\u00a0' || r == '\u202f' || r == '\t':
			b.WriteByte(' ')
		case r == '⁄':
			b.WriteByte('/')
		default:
			b.WriteRune(r)
		}
	}
	s = b.String()

	total, last := 0.0, math.Inf(1)
	for s != "" {
		n, rest, err := leadingNumber(s)
		if err != nil {
			return 0, err
		}
		unit, after := leadingUnit(rest)
		if unit == "" && (rest != "" || !math.IsInf(last, 1)) {
			if rest == "" {
				return 0, lengthError("its last number has no unit")
			}
			return 0, lengthError("%q is not a unit; use mm, cm, m, in (or \"), ft or yd", strings.TrimSpace(rest))
		}
		if unit == "" {
			unit = bare
		}
		if unit.MM() >= last {
			return 0, lengthError("larger units must come first, as in 5 ft 4 in")
		}
		last = unit.MM()
		total += n * last
		s = strings.TrimSpace(after)
	}
	if neg {
		total = -total
	}
	if math.IsNaN(total) || math.IsInf(total, 0) {
		return 0, lengthError("the number is too large")
	}
	return Length(total), nil
}

// decimal reads digits with at most one decimal mark, a point or a comma.
func decimal(s string) (float64, *LengthError) {
	whole, part, comma := strings.Cut(s, ",")
	switch {
	case !comma:
	case part == "" || strings.ContainsAny(part, ".,") || strings.Contains(whole, "."):
		return 0, lengthError("%q is not a number; write one decimal mark and no other, as in 7.5 or 7,5", s)
	case thousands(whole, part):
		return 0, lengthError("%q might be %s or %s; write %s or %s", s, whole+"."+part, whole+part, whole+"."+part, whole+part)
	}
	n, bad := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if bad != nil {
		return 0, lengthError("%q is not a number", s)
	}
	return n, nil
}

// thousands reports whether digits round a comma are written as English writes
// thousands: three behind it, and one to three in front, the first not 0.
func thousands(whole, part string) bool {
	return len(part) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0'
}

// leadingNumber reads "2", "2.5", "2,5", ".5", "3/4", "2 3/4" or "2-3/4" and
// returns what follows, spaces trimmed.
func leadingNumber(s string) (n float64, rest string, err *LengthError) {
	digits := func(s string) (string, string) {
		i := 0
		for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',') {
			i++
		}
		return s[:i], s[i:]
	}
	s = strings.TrimSpace(s)
	first, rest := digits(s)
	if first == "" {
		return 0, "", noNumber(s)
	}
	n, err = decimal(first)
	if err != nil {
		return 0, "", err
	}
	fraction := func(over, tail string, bad *LengthError) (float64, string, *LengthError) {
		tail, ok := strings.CutPrefix(tail, "/")
		under, after := digits(tail)
		a, err1 := strconv.ParseUint(over, 10, 32) // which takes no decimal mark
		b, err2 := strconv.ParseUint(under, 10, 32)
		switch {
		case !ok || err1 != nil || err2 != nil:
			return 0, "", bad
		case b == 0:
			return 0, "", lengthError("the lower number of a fraction cannot be 0")
		}
		return float64(a) / float64(b), strings.TrimSpace(after), nil
	}
	if strings.HasPrefix(rest, "/") {
		return fraction(first, rest, lengthError("%q is not a fraction", s))
	}
	tail := strings.TrimLeft(strings.TrimPrefix(strings.TrimLeft(rest, " "), "-"), " ")
	if over, after := digits(tail); over != "" && tail != rest {
		bad := lengthError("%q is not a whole number and a fraction", s)
		if strings.ContainsAny(first, ".,") {
			return 0, "", bad
		}
		f, after, err := fraction(over, after, bad)
		return n + f, after, err
	}
	return n, strings.TrimSpace(rest), nil
}

// leadingUnit reads a unit and returns what follows; the unit is "" where there
// is none.
func leadingUnit(s string) (Unit, string) {
	names := []struct {
		text string
		unit Unit
	}{
		{"millimetres", Millimetre}, {"millimetre", Millimetre}, {"mm", Millimetre},
		{"centimetres", Centimetre}, {"centimetre", Centimetre}, {"cm", Centimetre},
		{"metres", Metre}, {"metre", Metre}, {"inches", Inch}, {"inch", Inch}, {"in", Inch}, {"\"", Inch},
		{"millimeters", Millimetre}, {"millimeter", Millimetre}, {"centimeters", Centimetre}, {"centimeter", Centimetre},
		{"meters", Metre}, {"meter", Metre}, {"yards", Yard}, {"yard", Yard}, {"yds", Yard}, {"yd", Yard},
		{"feet", Foot}, {"foot", Foot}, {"ft", Foot}, {"'", Foot}, {"m", Metre},
	}
	low := strings.ToLower(s)
	for _, n := range names {
		if !strings.HasPrefix(low, n.text) {
			continue
		}
		after := strings.TrimPrefix(low[len(n.text):], ".")
		if after == "" || after[0] < 'a' || after[0] > 'z' {
			return n.unit, after
		}
	}
	return "", s
}

// In writes l in unit u as a tape shows it: whole millimetres, centimetres to
// the millimetre, metres to the centimetre, inches to the nearest eighth.
func (l Length) In(u Unit) string {
	switch u {
	case Inch:
		return fraction(float64(l)/25.4, 8) + " in"
	case Centimetre: // rounded to the millimetre, so that both units agree
		return trimZeros(strconv.FormatFloat(math.Round(float64(l))/10, 'f', 1, 64)) + " cm"
	case Metre:
		return trimZeros(strconv.FormatFloat(math.Round(float64(l)/10)/100, 'f', 2, 64)) + " m"
	case Foot:
		return trimZeros(strconv.FormatFloat(float64(l)/304.8, 'f', 2, 64)) + " ft"
	}
	return strconv.FormatFloat(math.Round(float64(l))+0, 'f', 0, 64) + " mm"
}

// Fine writes l in unit u, which must be known, as callipers show it:
// millimetres to a tenth, centimetres to a hundredth, inches to a thousandth,
// other units to a ten-thousandth.
func (l Length) Fine(u Unit) string {
	places := map[Unit]int{Millimetre: 1, Centimetre: 2, Inch: 3}[u]
	if places == 0 {
		places = 4
	}
	step := math.Pow10(places)
	return strconv.FormatFloat(math.Round(float64(l)/u.MM()*step)/step+0, 'f', places, 64) + " " + string(u)
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// fraction writes inches to the nearest one of so many parts: "2 3/4".
func fraction(inches float64, parts int) string {
	n := int(math.Round(math.Abs(inches) * float64(parts)))
	sign := ""
	if inches < 0 && n > 0 {
		sign = "-"
	}
	whole, over, under := n/parts, n%parts, parts
	for over > 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return fmt.Sprintf("%s%d", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, over, under)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, over, under)
}

const (
	// onTape is how far a fraction may lie from a length that it stands for, as a
	// share of it: what is cut by a tape measure is no nearer.
	onTape     = 0.015
	givenBack  = 0.005 // mm; half of what a hundredth can show
	mostPlaces = 12    // decimals; more are noise of the conversion
)

// Typed writes l in unit u, which must be known, for a person to change. Inches are
// a fraction as on a tape, down to sixteenths or else thirty-seconds, where one is
// within 1.5 %; all else has the fewest decimals from which ParseLength gives l back
// to 0.005 mm, and to 1 % where that is less.
func (l Length) Typed(u Unit) string {
	mm := float64(l)
	for _, under := range []int{16, 32} {
		n := math.Round(mm / Inch.MM() * float64(under))
		if off := math.Abs(n/float64(under)*Inch.MM() - mm); u == Inch && off <= onTape*math.Abs(mm) {
			return fraction(mm/Inch.MM(), under) + " " + string(u)
		}
	}
	text := ""
	for places := range mostPlaces {
		text = trimZeros(strconv.FormatFloat(mm/u.MM(), 'f', places, 64))
		n, _ := strconv.ParseFloat(text, 64) // written just now
		if math.Abs(n*u.MM()-mm) <= min(givenBack, math.Abs(mm)/100) {
			break
		}
	}
	return text + " " + string(u)
}
