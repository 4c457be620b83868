package results

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// unnamed is the folder of a title that gives no name.
const unnamed = "skirt"

// longestSlug, bytes: file systems take names of 255, and a suffix such as
// "-compare" follows.
const longestSlug = 200

// devices are the names that Windows keeps for devices: no file may have them,
// whatever its extension ("Naming Files, Paths, and Namespaces", Microsoft
// Learn).
var devices = map[string]bool{
	"con": true, "prn": true, "aux": true, "nul": true,
	"com0": true, "com1": true, "com2": true, "com3": true, "com4": true, "com5": true, "com6": true, "com7": true, "com8": true, "com9": true,
	"lpt0": true, "lpt1": true, "lpt2": true, "lpt3": true, "lpt4": true, "lpt5": true, "lpt6": true, "lpt7": true, "lpt8": true, "lpt9": true,
}

// Slug returns the name of the folder for a project of this title: the letters
// and digits of any script in lower case, with one hyphen for each run of
// anything else between them. A title without any, or one that names a device
// of Windows, gives "skirt". The result is at most 200 bytes long.
func Slug(title string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFC.String(title) {
		// A mark belongs to the letter before it, as vowels do in many scripts.
		part := unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) && !gap && b.Len() > 0
		if !part {
			gap = true
			continue
		}
		r = unicode.ToLower(r)
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		if b.Len()+utf8.RuneLen(r) > longestSlug {
			break
		}
		gap = false
		b.WriteRune(r)
	}
	slug := strings.TrimSuffix(b.String(), "-")
	if slug == "" || devices[slug] {
		return unnamed
	}
	return slug
}
