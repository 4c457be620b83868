package geom

import "math"

// Bisect returns the number nearest to bad, within Touch, at which ok still
// holds. ok must hold at good and, from some point toward bad on, fail; where it
// holds at bad as well, that is returned.
func Bisect(good, bad float64, ok func(float64) bool) float64 {
	if ok(bad) {
		return bad
	}
	for math.Abs(good-bad) > Touch {
		if mid := (good + bad) / 2; ok(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good
}
