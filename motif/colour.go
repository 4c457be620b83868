package motif

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/image/colornames"
)

// parseColour reads a CSS colour (CSS Color 3 and the hex and rgb forms of
// Color 4) as "#rrggbb" and its opacity; ok is false for
// anything else.
func parseColour(text string) (colour string, alpha float64, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "transparent" {
		return "#000000", 0, true
	}
	if c, known := colornames.Map[text]; known {
		return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B), 1, true
	}
	if hex, isHex := strings.CutPrefix(text, "#"); isHex {
		return parseHex(hex)
	}
	name, args, isCall := strings.Cut(text, "(")
	if !isCall || !strings.HasSuffix(args, ")") {
		return "", 0, false
	}
	parts := strings.FieldsFunc(strings.TrimSuffix(args, ")"), func(r rune) bool {
		return r == ',' || r == '/' || unicode.IsSpace(r)
	})
	if len(parts) != 3 && len(parts) != 4 {
		return "", 0, false
	}
	alpha = 1
	if len(parts) == 4 {
		if alpha, ok = share(parts[3], 1); !ok {
			return "", 0, false
		}
	}
	var c [3]float64
	switch strings.TrimSpace(name) {
	case "rgb", "rgba":
		for i := range c {
			if c[i], ok = share(parts[i], 255); !ok {
				return "", 0, false
			}
		}
	case "hsl", "hsla":
		hue, err := strconv.ParseFloat(strings.TrimSuffix(parts[0], "deg"), 64)
		s, sok := share(parts[1], 100)
		l, lok := share(parts[2], 100)
		if err != nil || !sok || !lok || math.IsNaN(hue) || math.IsInf(hue, 0) {
			return "", 0, false
		}
		c = fromHSL(hue, s, l)
	default:
		return "", 0, false
	}
	b := func(f float64) int { return int(math.Round(255 * f)) }
	return fmt.Sprintf("#%02x%02x%02x", b(c[0]), b(c[1]), b(c[2])), alpha, true
}

// parseHex reads the digits of #rgb, #rgba, #rrggbb and #rrggbbaa.
func parseHex(hex string) (colour string, alpha float64, ok bool) {
	if _, err := strconv.ParseUint(hex, 16, 32); err != nil {
		return "", 0, false
	}
	if len(hex) == 3 || len(hex) == 4 {
		var long []byte
		for _, d := range []byte(hex) {
			long = append(long, d, d)
		}
		hex = string(long)
	}
	switch len(hex) {
	case 6:
		return "#" + hex, 1, true
	case 8:
		a, _ := strconv.ParseUint(hex[6:], 16, 8)
		return "#" + hex[:6], float64(a) / 255, true
	}
	return "", 0, false
}

// share reads a number from 0 to full, or a percentage, as a share from 0 to 1.
func share(text string, full float64) (float64, bool) {
	if p, ok := strings.CutSuffix(text, "%"); ok {
		text, full = p, 100
	}
	f, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(f) {
		return 0, false
	}
	return math.Max(0, math.Min(1, f/full)), true
}

// fromHSL converts as in CSS Color 4, section 7.1 ("Converting HSL Colors to sRGB").
func fromHSL(hue, s, l float64) [3]float64 {
	hue = math.Mod(math.Mod(hue, 360)+360, 360)
	f := func(n float64) float64 {
		k := math.Mod(n+hue/30, 12)
		return l - s*math.Min(l, 1-l)*math.Max(-1, math.Min(math.Min(k-3, 9-k), 1))
	}
	return [3]float64{f(0), f(8), f(4)}
}
