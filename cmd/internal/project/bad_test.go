package project

import (
	"errors"
	"strings"
	"testing"
)

// Parts of a sound file, which need nothing more.
const (
	goodSkirt   = "[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 60\n"
	goodMotif   = "[[motif]]\nname = \"ginkgo\"\noutline = \"ginkgo.svg\"\n"
	goodScatter = "[scatter]\nspacing = 11\n"
)

// A badFile has one thing wrong, or a few; the messages are all of them, word
// for word, as a maker reads them.
type badFile struct {
	name, file string
	want       []string
}

func badFiles() []badFile {
	return []badFile{
		{"an empty file", "", []string{
			`p.toml:1:1: skirt: nothing is said of the skirt; write the body's measures and the cut (in a table [skirt])`,
			`p.toml:1:1: motif: there is no motif; add one with its name and its outline (in a table [[motif]])`,
			`p.toml:1:1: scatter.spacing: it is missing; write how far apart the cutouts lie, as in spacing = "11 cm", or how many there are, as in cutouts = 60`,
		}},
		{"no motif in the list", "motif = []\n" + goodSkirt + goodScatter, []string{
			`p.toml:1:1: motif: there is no motif; add one with its name and its outline (in a table [[motif]])`,
		}},
		{"keys missing from tables", "[skirt]\n[[motif]]\n[scatter]\n[[sheet]]\n", []string{
			`p.toml:1:1: skirt.cut: it is missing; write how the skirt is cut, as in cut = "circle"`,
			`p.toml:1:1: skirt.waist: it is missing; write the body's waist, as in waist = "68 cm"`,
			`p.toml:1:1: skirt.length: it is missing; write the finished length, as in length = "60 cm", or the length of the top layer, as in drop = "56 cm"`,
			`p.toml:2:1: motif.name: it is missing; write what the motif is called, as in name = "ginkgo"`,
			`p.toml:2:1: motif.outline: it is missing; write the file of its drawing, as in outline = "ginkgo.svg"`,
			`p.toml:3:1: scatter.spacing: it is missing; write how far apart the cutouts lie, as in spacing = "11 cm", or how many there are, as in cutouts = 60`,
			`p.toml:4:1: sheet.name: it is missing; write what the felt is called in the shopping list, as in name = "craft felt A4"`,
			`p.toml:4:1: sheet.width: it is missing; write how wide the sheet is, as in width = "21 cm"`,
			`p.toml:4:1: sheet.height: it is missing; write how high the sheet is, as in height = "29.7 cm"`,
		}},

		// Unknown keys and tables.
		{"a misspelt key", goodSkirt + "wiastband = 4\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.wiastband: there is no such key; the keys of [skirt] are cut, waist, hip, length, waistband, drop, fullness, circle, panels, hem_girth, hem, outline, seams, waist_edge, seam_allowance, layers, colour, opacity, fabric_width, fabric_price and fabric_price_per; did you mean "waistband"`,
		}},
		{"another spelling", goodSkirt + goodMotif + "color = \"#fff\"\n" + goodScatter, []string{
			`p.toml:8:1: motif.color: there is no such key; the keys of [[motif]] are name, outline, width, height, paper, pick, cut, sizes, share, colour, direction and tilt; did you mean "colour"`,
		}},
		{"a key of another table", goodSkirt + goodMotif + goodScatter + "gap = 3\n", []string{
			`p.toml:10:1: scatter.gap: there is no such key; the keys of [scatter] are pattern, spacing, spacing_waist, jitter, row_spacing, stagger, rows, rise, repeat, even, cutouts, sheets and budget; did you mean "gap" in table [cutting]`,
		}},
		{"a header left out", goodSkirt + goodMotif + goodScatter + "between = 1.5\nwaist = 6\nhem = 1.5\nseam = 0\n", []string{
			`p.toml:10:1: scatter.between: there is no such key; the keys of [scatter] are pattern, spacing, spacing_waist, jitter, row_spacing, stagger, rows, rise, repeat, even, cutouts, sheets and budget; did you mean "between" in table [clearance]`,
			`p.toml:11:1: scatter.waist: there is no such key in [scatter]; did you mean "waist" in table [clearance]`,
			`p.toml:12:1: scatter.hem: there is no such key in [scatter]; did you mean "hem" in table [clearance]`,
			`p.toml:13:1: scatter.seam: there is no such key in [scatter]; did you mean "seam" in table [clearance]`,
		}},
		{"a key above the tables", "waist = 68\n" + goodSkirt + goodMotif + goodScatter, []string{
			`p.toml:1:1: waist: there is no such key above the tables; the keys there are title, unit and seed; did you mean "waist" in table [skirt]`,
		}},
		{"a title inside a table", goodSkirt + "title = \"x\"\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.title: there is no such key; the keys of [skirt] are cut, waist, hip, length, waistband, drop, fullness, circle, panels, hem_girth, hem, outline, seams, waist_edge, seam_allowance, layers, colour, opacity, fabric_width, fabric_price and fabric_price_per; did you mean "title" above all tables`,
		}},
		{"a misspelt table", goodSkirt + goodMotif + goodScatter + "[clearence]\nhem = 1\n", []string{
			`p.toml:10:1: clearence: there is no such table; the tables are [skirt], [lining], [[motif]], [scatter], [clearance], [[bare]], [[fixed]], [cutting], [backing], [[sheet]] and [supplies]; did you mean [clearance]`,
		}},
		{"a table with too few brackets", goodSkirt + "[motif]\nname = \"a\"\noutline = \"a.svg\"\n" + goodScatter, []string{
			`p.toml:5:1: motif: write it with double brackets, [[motif]], once for each motif`,
		}},
		{"a table with too many brackets", "[[skirt]]\n" + goodSkirt[8:] + goodMotif + goodScatter, []string{
			`p.toml:1:1: skirt: there is only one such table; write it with single brackets: [skirt]`,
		}},
		{"a value for a table", "skirt = 5\nmotif = [1]\nscatter = \"polka\"\n", []string{
			`p.toml:1:1: skirt: 5 is not a table; write [skirt] on a line of its own and its keys below it`,
			`p.toml:2:10: motif: 1 is not a table; write [[motif]] on a line of its own and its keys below it`,
			`p.toml:3:1: scatter: "polka" is not a table; write [scatter] on a line of its own and its keys below it`,
		}},
		{"a table for a value", goodSkirt + "[skirt.hip]\nround = 3\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.hip: a table is not a length; write it like "94 cm", or as a bare number in cm`,
		}},

		// Lengths.
		{"lengths that are none", "[[sheet]]\nname = \"felt\"\nwidth = true\nheight = 1979-05-27\nmargin = [1]\n" + goodSkirt +
			"hip = \"94 miles\"\nwaistband = \"four\"\nfabric_width = nan\nseam_allowance = -inf\ndrop = \"7,525 cm\"\n" + goodMotif + goodScatter, []string{
			`p.toml:3:1: sheet.width: true is not a length; write it like "21 cm", or as a bare number in cm`,
			`p.toml:4:1: sheet.height: a date or time is not a length; write it like "29.7 cm", or as a bare number in cm`,
			`p.toml:5:1: sheet.margin: a list is not a length; write it like "4 mm", or as a bare number in cm`,
			`p.toml:10:1: skirt.hip: "94 miles" is not a length: "miles" is not a unit; use mm, cm, m, in (or "), ft or yd; write it like "7 cm", "65 mm" or "2 3/4 in"`,
			`p.toml:11:1: skirt.waistband: "four" is not a length; write it like "7 cm", "65 mm" or "2 3/4 in"`,
			`p.toml:12:1: skirt.fabric_width: nan is not a length; write it like "150 cm", or as a bare number in cm`,
			`p.toml:13:1: skirt.seam_allowance: -inf is not a length; write it like "12 mm", or as a bare number in cm`,
			`p.toml:14:1: skirt.drop: "7,525 cm" is not a length: "7,525" might be 7.525 or 7525; write 7.525 or 7525; write it like "7 cm", "65 mm" or "2 3/4 in"`,
		}},
		{"lengths out of range", goodSkirt + "drop = -3\nwaistband = \"-1 mm\"\nhip = \"9 cm\"\nfabric_width = 2000.5\nseam_allowance = \"21 m\"\n" + goodMotif + "width = 0\n" + goodScatter, []string{
			`p.toml:5:1: skirt.drop: -3 cm is negative; write a length above 0`,
			`p.toml:6:1: skirt.waistband: "-1 mm" is negative; write 0 or more`,
			`p.toml:7:1: skirt.hip: "9 cm" is too small: a body measures between 10 cm and 3 m round`,
			`p.toml:8:1: skirt.fabric_width: 2000.5 cm is longer than 20 m, probably in the wrong unit; no unit is set, so numbers without one are in cm`,
			`p.toml:9:1: skirt.seam_allowance: "21 m" is longer than 20 m, probably in the wrong unit`,
			`p.toml:13:1: motif.width: 0 cm is too small; write a length above 0`,
		}},
		{"a slip of the unit", "unit = \"mm\"\n" + goodSkirt + goodMotif + goodScatter, []string{
			`p.toml:4:1: skirt.waist: 68 mm is too small: a body measures between 10 cm and 3 m round; numbers without a unit are in mm`,
		}},
		{"a waist in inches, unit said elsewhere", "[skirt]\ncut = \"circle\"\nwaist = 310\nlength = 24\n" + goodMotif + goodScatter, []string{
			`p.toml:3:1: skirt.waist: 310 cm is too large: a body measures between 10 cm and 3 m round; no unit is set, so numbers without one are in cm`,
		}},
		{"a unit that is none", "unit = \"inch\"\n" + goodSkirt + goodMotif + goodScatter, []string{
			`p.toml:1:1: unit: "inch" is not known; write "mm", "cm" or "in"; did you mean "in"`,
		}},

		// Words, text, numbers, colours, lists.
		{"words", "unit = 10\n" + goodSkirt[:8] + "cut = \"Circle\"\n" + goodSkirt[23:] + goodMotif + "direction = \"oneway\"\n" + goodScatter +
			"pattern = \"stripes\"\nstagger = \"yes\"\n[supplies]\npaper = \"a44\"\ncurrency = \"EUE\"\n", []string{
			`p.toml:1:1: unit: 10 is not allowed here; write "mm", "cm" or "in"`,
			`p.toml:3:1: skirt.cut: "Circle" is not known; write "circle", "rectangle", "gores" or "outline"; did you mean "circle"`,
			`p.toml:9:1: motif.direction: "oneway" is not known; write "one-way", "two-way" or "tossed"; did you mean "one-way"`,
			`p.toml:12:1: scatter.pattern: "stripes" is not known; write "polka", "grid" or "hemband"`,
			`p.toml:13:1: scatter.stagger: "yes" is neither yes nor no; write true or false, without quotes`,
			`p.toml:15:1: supplies.paper: "a44" is not known; write "A4", "A3", "letter", "tabloid" or "large"; did you mean "A4"`,
			`p.toml:16:1: supplies.currency: "EUE" is not a currency; write its three letters by ISO 4217, as in "EUR", or a sign; did you mean "EUR"`,
		}},
		{"names", "title = 7\n" + goodSkirt + goodScatter + "[[motif]]\nname = \"  \"\noutline = \"\"\n[[motif]]\nname = \"a\\tb\"\noutline = \"a.gif\"\n[[motif]]\nname = \"" +
			strings.Repeat("é", 61) + "\"\noutline = 4\n[[motif]]\nname = \"acorn\"\noutline = \"a\\tcorn.svg\"\n[[motif]]\nname = \" Acorn\"\noutline = \"b.svg\"\n", []string{
			`p.toml:1:1: title: 7 is not text; write it in quotes, as in "Ginkgo walk"`,
			`p.toml:9:1: motif.name: it is empty; write a name, as in "ginkgo"`,
			`p.toml:10:1: motif.outline: it is empty; write the path of a drawing, as in "ginkgo.svg"`,
			`p.toml:12:1: motif.name: it holds a line break, a tab or another control character; write it on one line, as in "ginkgo"`,
			`p.toml:13:1: motif.outline: "a.gif" is not a supported drawing; write the path of an SVG file, as in "ginkgo.svg"`,
			`p.toml:15:1: motif.name: it is too long (61 characters); write at most 60`,
			`p.toml:16:1: motif.outline: 4 is not the path of a file; write it in quotes, as in "ginkgo.svg"`,
			`p.toml:19:1: motif.outline: "a corn.svg" holds a control character; a \ in a path is best written /, as in "drawings/ginkgo.svg"`,
			`p.toml:21:1: motif.name: " Acorn" is already the name of another motif, in line 18; give each a name of its own`,
		}},
		{"numbers", "seed = -1\n" + goodSkirt + "fullness = 0.9\ncircle = \"whole\"\npanels = 2.5\nlayers = 0\nopacity = 25\n" + goodMotif + "share = nan\ntilt = 400\n" + goodScatter +
			"jitter = 1.1\nrows = 101\nrepeat = 0\n[cutting]\neffort = 11\n[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\nprice = -0.5\nstock = -1\n[lining]\nfullness = 0.4\ngirth = \"waist\"\n", []string{
			`p.toml:1:1: seed: -1 is negative; write a whole number of 0 or more`,
			`p.toml:6:1: skirt.fullness: 0.9 is out of range; write a number from 1 to 6: below 1 the layer does not reach round the waist, above 6 it will not gather into the seam`,
			`p.toml:7:1: skirt.circle: "whole" is not a number; write one from 0.25 to 4, as in 1`,
			`p.toml:8:1: skirt.panels: 2.5 is not a whole number; write one like 2`,
			`p.toml:9:1: skirt.layers: 0 is out of range; write a whole number from 1 to 20: there is at least one, and more than 20 will not go into one waist seam`,
			`p.toml:10:1: skirt.opacity: 25 is out of range; write a number from 0 to 1: 0 is clear, 1 hides all that lies under it`,
			`p.toml:14:1: motif.share: nan is not a number; write one from 0 to 1000, as in 3`,
			`p.toml:15:1: motif.tilt: 400 is out of range; write a number from -360 to 360: it is an angle in degrees`,
			`p.toml:18:1: scatter.jitter: 1.1 is out of range; write a number from 0 to 1: 0 keeps regular rows, 1 is as loose as the clearance allows`,
			`p.toml:19:1: scatter.rows: 101 is out of range; write a whole number from 1 to 100: a hem band has one row or a few`,
			`p.toml:20:1: scatter.repeat: 0 is out of range; write a whole number from 1 to 1000: it is how often the layout repeats round the skirt`,
			`p.toml:22:1: cutting.effort: 11 is out of range; write a whole number from 0 to 10: 0 is quick, 10 is thorough`,
			`p.toml:27:1: sheet.price: -0.5 is out of range; write a number from 0 to 1000000: it is the price of one sheet, or of a metre of a roll`,
			`p.toml:28:1: sheet.stock: -1 is out of range; write a whole number from 0 to 10000: it is how many sheets are in the drawer`,
			`p.toml:30:1: lining.fullness: 0.4 is out of range; write a number from 0.5 to 6: below 0.5 it does not close round the body, above 6 it will not gather into the seam`,
		}},
		{"colours", goodSkirt + "colour = \"d9a521\"\n" + goodMotif + "colour = \"gold\"\n" + goodScatter +
			"[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\ncolours = [\"#d9a52\", 7,\n  \"#abc\"]\n[[sheet]]\nname = \"thick felt\"\nwidth = 20\nheight = 30\ncolours = []\n[lining]\ngirth = \"waist\"\ncolour = 0\n", []string{
			`p.toml:5:1: skirt.colour: "d9a521" is not a colour; write # and 3 or 6 of the digits 0-9 a-f, like "#d9a521"; did you mean "#d9a521"`,
			`p.toml:9:1: motif.colour: "gold" is not a colour; write # and 3 or 6 of the digits 0-9 a-f, like "#d9a521"`,
			`p.toml:16:12: sheet.colours: "#d9a52" is not a colour; write # and 3 or 6 of the digits 0-9 a-f, like "#d9a521"`,
			`p.toml:16:22: sheet.colours: 7 is not a colour; write it like "#d9a521"`,
			`p.toml:22:1: sheet.colours: the list is empty; write them in brackets, as in ["#d9a521"], or leave the key out for any colour`,
			`p.toml:25:1: lining.colour: 0 is not a colour; write it like "#d9a521"`,
		}},
		{"sizes", goodSkirt + goodScatter + "[[motif]]\nname = \"a\"\noutline = \"a.svg\"\nsizes = [1, 0.7, 1.0, 0, 11, \"big\"]\n[[motif]]\nname = \"b\"\noutline = \"b.svg\"\nsizes = 1\n[[motif]]\nname = \"c\"\noutline = \"c.svg\"\nsizes = []\n", []string{
			`p.toml:10:18: motif.sizes: size 1 is in the list twice; write each size once`,
			`p.toml:10:23: motif.sizes: 0 is out of range; a size is above 0 and at most 10 times the drawing`,
			`p.toml:10:26: motif.sizes: 11 is out of range; a size is above 0 and at most 10 times the drawing`,
			`p.toml:10:30: motif.sizes: "big" is not a size; write numbers, as in [1.0, 0.7]`,
			`p.toml:14:1: motif.sizes: 1 is not a list; write the sizes in brackets, as in [1.0, 0.7]`,
			`p.toml:18:1: motif.sizes: the list holds 0 sizes; write 1 to 20 of them, as in [1.0, 0.7]`,
		}},
		{"a spare that is a share", goodSkirt + goodMotif + goodScatter + "[cutting]\nspare = 0.05\n", []string{
			`p.toml:11:1: cutting.spare: 0.05 is neither a share nor a count; write a share, like "5%", or a whole number for a count; did you mean "5%"`,
		}},
		{"a spare above all", goodSkirt + goodMotif + goodScatter + "[cutting]\nspare = \"120%\"\n", []string{
			`p.toml:11:1: cutting.spare: "120%" is out of range; write a share from 0% to 100%`,
		}},
		{"a spare in words", goodSkirt + goodMotif + goodScatter + "[cutting]\nspare = \"two\"\n", []string{
			`p.toml:11:1: cutting.spare: "two" is neither a share nor a count; write a share, like "5%", or a whole number for a count`,
		}},
		{"a price in thousands", goodSkirt + "fabric_price = \"1,500\"\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.fabric_price: "1,500" is not a number; write the decimal mark as a point and no mark between thousands, as in 2.40`,
		}},
		{"a negative spare", goodSkirt + goodMotif + goodScatter + "[cutting]\nspare = -2\n", []string{
			`p.toml:11:1: cutting.spare: -2 is out of range; write a count from 0 to 10000, or a share like "5%"`,
		}},
		{"rules of estimates that cannot be", goodSkirt + "fabric_price = -1\n" + goodMotif + goodScatter + "[supplies]\npaper_price = \"free\"\nnet_weight = 0\nthread_reel = \"20000 m\"\nfixing_time = 0\n", []string{
			`p.toml:5:1: skirt.fabric_price: -1 is out of range; write a number from 0 to 1000000: it is the price of a metre, or of the length that it is said to be for`,
			`p.toml:12:1: supplies.paper_price: "free" is not a number; write one from 0 to 1000000, as in 0.05`,
			`p.toml:13:1: supplies.net_weight: 0 is out of range; write a number from 1 to 3000: it is in grams per square metre, of one layer`,
			`p.toml:14:1: supplies.thread_reel: "20000 m" is longer than 10000 m, probably in the wrong unit`,
			`p.toml:15:1: supplies.fixing_time: 0 is out of range; write a number from 1 to 3600: it is in seconds for each piece`,
		}},
		{"felt that is not there", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"old\"\nwidth = 20\nheight = 30\nbuy = false\n", []string{
			`p.toml:14:1: sheet.buy: "old" cannot be bought and there is none in the drawer; write stock = 1 or more, or leave the sheet out`,
		}},
		{"a glue stick without length", goodSkirt + goodMotif + goodScatter + "[supplies]\nglue_stick = \"11 mm\"\n", []string{
			`p.toml:11:1: supplies.glue_stick: "11 mm" is not the size of a stick; write how thick and how long, as in "11 mm x 200 mm"`,
		}},
		{"a glue stick the wrong way round", goodSkirt + goodMotif + goodScatter + "[supplies]\nglue_stick = \"200 mm × 11 mm\"\n", []string{
			`p.toml:11:1: supplies.glue_stick: "200 mm × 11 mm" is thicker than it is long; write the thickness first, as in "11 mm x 200 mm"`,
		}},

		// Keys against one another.
		{"two densities", goodSkirt + goodMotif + goodScatter + "cutouts = 60\n", []string{
			`p.toml:10:1: scatter.cutouts: spacing and cutouts are given together; keep one: it decides how many cutouts there are`,
		}},
		{"width and height", goodSkirt + goodMotif + "height = 5\nwidth = 6\n" + goodScatter, []string{
			`p.toml:8:1: motif.height: width and height are both given; keep one: the other follows from the drawing`,
		}},
		{"no share", goodSkirt + goodMotif + "share = 0\n" + goodScatter, []string{
			`p.toml:8:1: motif.share: every motif has share 0, so none can be placed; give at least one a share above 0`,
		}},
		{"a panel of more than a full turn", goodSkirt + "circle = 1.5\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.circle: a layer of 1.5 circles in 1 panel cannot lie flat, each panel would be wider than a full turn; make the skirt of 2 panels or more`,
		}},
		{"too few panels", goodSkirt + "panels = 2\ncircle = 2.5\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.panels: a layer of 2.5 circles in 2 panels cannot lie flat, each panel would be wider than a full turn; make the skirt of 3 panels or more`,
		}},
		{"a lining of more circles than panels", goodSkirt + goodMotif + goodScatter + "[lining]\ngirth = \"waist\"\ncircle = 4\n", []string{
			`p.toml:12:1: lining.circle: a layer of 4 circles in 1 panel cannot lie flat, each panel would be wider than a full turn; make the skirt of 4 panels or more`,
		}},
		{"a lining to a hip that is not given", goodSkirt + goodMotif + goodScatter + "[lining]\n", []string{
			`p.toml:10:1: lining.girth: the lining is cut to the hip, which is not given; write the hip measurement of the skirt, or cut the lining to the waist (girth = "waist")`,
		}},
		{"no lining left", goodSkirt + goodMotif + goodScatter + "[lining]\ngirth = \"waist\"\nshorter_by = \"60 cm\"\n", []string{
			`p.toml:12:1: lining.shorter_by: 60 cm shorter than the top layer of 60 cm leaves no lining; write less`,
		}},
		{"nothing below the waistband", goodSkirt + "waistband = 60\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.waistband: a waistband of 60 cm leaves nothing of a length of 60 cm; write a smaller waistband or a greater length`,
		}},
		{"repeats that miss the seams", goodSkirt + "panels = 6\n" + goodMotif + goodScatter + "repeat = 4\n", []string{
			`p.toml:11:1: scatter.repeat: a layout that repeats 4 times does not meet 6 panels; write 1, 2, 3, 6 or a multiple of 6`,
		}},
		{"a row above the waist", goodSkirt + goodMotif + goodScatter + "pattern = \"hemband\"\nrise = 60\n", []string{
			`p.toml:11:1: scatter.rise: 60 cm above the hem is not on the top layer, which is 60 cm long; write less`,
		}},
		{"no room", goodSkirt + goodMotif + goodScatter + "[clearance]\nwaist = 20\nhem = 40\n", []string{
			`p.toml:12:1: clearance.hem: 20 cm clear at the waist and 40 cm at the hem leave no room on a top layer of 60 cm; write less`,
		}},
		{"no felt left", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"felt\"\nwidth = 8\nheight = 30\nmargin = 4\n", []string{
			`p.toml:14:1: sheet.margin: a margin of 4 cm all round leaves nothing of a sheet of 8 cm × 30 cm; write a smaller one`,
		}},
		{"two felts of one name", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"felt\"\nwidth = 8\nheight = 30\n[[sheet]]\nname = \"felt\"\nwidth = 9\nheight = 30\n", []string{
			`p.toml:15:1: sheet.name: "felt" is already the name of another kind of felt, in line 11; give each a name of its own`,
		}},

		// What is not TOML.
		{"values without quotes", goodSkirt[:8] + "cut = circle\nwaist = 68 cm\nhip = 2 3/4\nlength = 6,5\ndrop = 7,5 cm\ncolour = #d9a521\nfullness = .5\nlayers\npanels: 3\nopacity = yes\n", []string{
			`p.toml:2:7: skirt.cut: write text in quotes: cut = "circle"`,
			`p.toml:3:12: skirt.waist: write a number with a unit or a fraction in quotes: waist = "68 cm"`,
			`p.toml:4:9: skirt.hip: write a number with a unit or a fraction in quotes: hip = "2 3/4"`,
			`p.toml:5:11: skirt.length: write the decimal mark as a point: length = 6.5`,
			`p.toml:6:9: skirt.drop: write a number with a unit or a fraction in quotes: drop = "7,5 cm"`,
			`p.toml:7:10: skirt.colour: a # outside quotes starts a comment; write the colour in quotes: colour = "#d9a521"`,
			`p.toml:8:12: skirt.fullness: a number starts with a digit: fullness = 0.5`,
			`p.toml:9:7: skirt.layers: the equals sign is missing; write it like layers = 3`,
			`p.toml:10:7: skirt.panels: the equals sign is missing; write it like panels = 2`,
			`p.toml:11:11: skirt.opacity: this value cannot be read; write it like opacity = 0.25`,
		}},
		{"values and syntax together", goodSkirt[:8] + "waist = 68 cm # round the body\nhip = true\n" + goodMotif + "name = \"twice\"\n", []string{
			`p.toml:2:12: skirt.waist: write a number with a unit or a fraction in quotes: waist = "68 cm"`,
			`p.toml:3:1: skirt.hip: true is not a length; write it like "94 cm", or as a bare number in cm`,
			`p.toml:7:1: motif.name: it is written twice in the same table; keep one`,
		}},
		{"quotes", "title = “Walk”\n[[motif]]\nname = \"gink\n" + "outline = \"a\\ginkgo.svg\"\nwidth = \"2 3/4\"\"\nsizes = 1, 0.7\n[scatter]\nspacing = 4\" # wide\npattern = 'polka\nstagger = True\n", []string{
			`p.toml:1:9: title: these are printer's quotes; use straight ones; write it like title = "Ginkgo walk"`,
			`p.toml:3:13: motif.name: the closing quote is missing: name = "gink"`,
			`p.toml:4:13: motif.outline: a \ has a meaning of its own inside "…"; write / in paths, or use single quotes: '…'`,
			`p.toml:5:16: motif.width: the inch mark ends the text; use single quotes round it: width = '2 3/4"'`,
			`p.toml:6:10: motif.sizes: write a list in brackets: sizes = [1, 0.7]`,
			`p.toml:8:12: scatter.spacing: write a number with a unit or a fraction in quotes: spacing = '4"'`,
			`p.toml:9:17: scatter.pattern: the closing quote is missing: pattern = "polka"`,
			`p.toml:10:11: scatter.stagger: this is neither yes nor no; write true or false, in small letters and without quotes`,
		}},
		{"a table written twice", "[skirt]\nwaist = 68\n[skirt] # again\nhip = 94\n", []string{
			`p.toml:3:2: [skirt] is written above already; keep one and put all its keys there`,
		}},
		{"a table written two ways", "[[motif]]\nname = \"a\"\n[motif]\n", []string{
			`p.toml:3:2: this table is written once with one bracket and once with two, or also as a key; write all its headers alike`,
		}},
		{"a bracket missing", "[skirt\nwaist = 68\n", []string{
			`p.toml:1:7: the brackets round the table's name do not match; write [skirt] or [[motif]]`,
		}},
		{"a list not closed", "[[motif]]\nsizes = [1.0,\n0.7\nname = \"a\"\n", []string{
			`p.toml:4:1: a text or list that was opened here or above is not closed; look for a missing quote or bracket`,
		}},
		{"keys on a header's line", "[skirt] waist = 68\n", []string{
			`p.toml:1:9: nothing may follow a table's name on its line; write its keys on the lines below`,
		}},
		{"a remark of another language", "// the skirt\n" + goodSkirt + "hip = yes\n", []string{
			`p.toml:1:1: a comment starts with #`,
			`p.toml:6:7: skirt.hip: this value cannot be read; write it like hip = "94 cm"`,
		}},
		{"another encoding", "title = \"Blumenr\xf6ckchen\"\n", []string{
			`p.toml:1:17: the file is not text in UTF-8; save it again with the encoding UTF-8`,
		}},
		{"no text at all", "\x89PNG\r\n\x1a\n\x00", []string{
			`p.toml:1:1: the file is not text in UTF-8; save it again with the encoding UTF-8`,
		}},

		// Gores and drawn panels.
		{"gores without a hem", "[skirt]\ncut = \"gores\"\nwaist = 68\nlength = 60\n" + goodMotif + goodScatter, []string{
			`p.toml:1:1: skirt.hem_girth: it is missing; write how long the hems of all gores are together, as in hem_girth = "2.4 m"`,
		}},
		{"gores that do not flare", "[skirt]\ncut = \"gores\"\nwaist = 68\nlength = 60\nfullness = 1.5\nhem_girth = 100\npanels = 6\n" + goodMotif + goodScatter, []string{
			`p.toml:6:1: skirt.hem_girth: gores that are 102 cm round at the waist seam do not flare to a hem of 100 cm; write a longer hem, or choose straight panels (cut = "rectangle")`,
		}},
		{"gores beyond a turn", "[skirt]\ncut = \"gores\"\nwaist = 60\nlength = 30\nhem_girth = \"8 m\"\npanels = 3\n" + goodMotif + goodScatter, []string{
			`p.toml:5:1: skirt.hem_girth: a hem of 800 cm on gores 30 cm long makes each wider than a full turn; make it 4 panels or more, or the hem shorter`,
		}},
		{"a repeat that bends", "[skirt]\ncut = \"gores\"\nwaist = 68\nlength = 60\nhem_girth = 240\nhem = \"straight\"\npanels = 6\n" + goodMotif + goodScatter + "repeat = 12\n", []string{
			`p.toml:13:1: scatter.repeat: the rows of straight-edged gores bend at their seams, so a layout that repeats 12 times does not meet 6 panels; write 1, 2, 3 or 6`,
		}},
		{"no drawing of the panels", "[skirt]\ncut = \"outline\"\n" + goodMotif + "[lining]\n[scatter]\npattern = \"hemband\"\nspacing = 9\nrepeat = 2\n", []string{
			`p.toml:1:1: skirt.outline: it is missing; write the file of the panels' drawing, as in outline = "cape.svg"`,
			`p.toml:6:1: lining: a lining hangs from a waist seam, and panels drawn as an outline have none; leave the table out`,
			`p.toml:8:1: scatter.pattern: a hem band follows a hem, and an outline has only open edges; write "polka" or "grid"`,
			`p.toml:10:1: scatter.repeat: the panels of an outline differ, so no layout repeats on them; leave it out`,
		}},
		{"panels from a picture", "[skirt]\ncut = \"outline\"\noutline = \"cape.png\"\nseams = [[\"a\"], [\"b\", \"b\"]]\nwaist_edge = 3\n" + goodMotif + goodScatter, []string{
			`p.toml:3:1: skirt.outline: "cape.png" is not an SVG file; panels are cut true to size, so draw them in an SVG file whose page states its size`,
			`p.toml:4:1: skirt.seams: a list is not a pair of names; write two, as in [["left", "right"]]`,
			`p.toml:4:1: skirt.seams: "b" is paired with itself; write the two sides that are sewn together, as in [["left", "right"]]`,
			`p.toml:5:1: skirt.waist_edge: 3 is not a name; write one in quotes, as in "neck", or a list of them`,
		}},

		// What is placed by hand.
		{"by hand, off the skirt", goodSkirt + goodMotif + goodScatter + "[[bare]]\npanel = 2\ndown = [70, 80]\n[[fixed]]\nmotif = \"ginko\"\npanel = 1\ndown = 5\naround = 5\n[[fixed]]\nmotif = \"ginkgo\"\npanel = 3\ndown = 65\naround = 5\nsize = 0.5\n", []string{
			`p.toml:11:1: bare.panel: there is no panel 2; the skirt has 1 panel`,
			`p.toml:12:1: bare.down: it starts 70 cm down, and the top layer is 60 cm long; write a place on it`,
			`p.toml:14:1: fixed.motif: there is no motif "ginko"; write "ginkgo"; did you mean "ginkgo"`,
			`p.toml:20:1: fixed.panel: there is no panel 3; the skirt has 1 panel`,
			`p.toml:21:1: fixed.down: 65 cm down is past the hem; the top layer is 60 cm long`,
			`p.toml:23:1: fixed.size: 0.5 is not one of the sizes of "ginkgo"; write 1`,
		}},

		// Felt.
		{"a roll's keys on a sheet", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\nprice_per = \"1 m\"\nsold_by = \"10 cm\"\n", []string{
			`p.toml:14:1: sheet.price_per: it is only for felt sold by the length; say that it is (roll = true), or leave it out`,
			`p.toml:15:1: sheet.sold_by: it is only for felt sold by the length; say that it is (roll = true), or leave it out`,
		}},
		{"a roll in the drawer, all margin", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"felt\"\nwidth = 20\nroll = true\nmargin = 10\nstock = 2\nsold_by = 0\n", []string{
			`p.toml:14:1: sheet.margin: a margin of 10 cm on both sides leaves nothing of a roll 20 cm wide; write a smaller one`,
			`p.toml:15:1: sheet.stock: the length of a roll in the drawer is not known; write the piece that is there as a sheet, with its width and height`,
			`p.toml:16:1: sheet.sold_by: 0 cm is too small; write a length above 0`,
		}},
		{"a sheet without a height", goodSkirt + goodMotif + goodScatter + "[[sheet]]\nname = \"felt\"\nwidth = 20\n[[sheet]]\nname = \"roll\"\nwidth = 20\nroll = \"yes\"\n", []string{
			`p.toml:10:1: sheet.height: it is missing; write how high the sheet is, as in height = "29.7 cm"`,
			`p.toml:16:1: sheet.roll: "yes" is neither yes nor no; write true or false, without quotes`,
		}},

		{"gores and places by hand", "[skirt]\ncut = \"gores\"\nwaist = 68\nlength = 60\nhem_girth = 240\npanels = 6\n" +
			"[[motif]]\nname = \"ginkgo\"\noutline = \"scans/ginkgo.PNG\"\n[scatter]\nspacing = 11\nspacing_waist = 9\neven = \"worn\"\n" +
			"[[bare]]\npanel = 1\ndown = [18, 0]\n[[fixed]]\n", []string{
			`p.toml:16:1: bare.down: the stretch from 18 to 0 has no length; write the smaller one first, as in [0, 18]`,
			`p.toml:17:1: fixed.motif: it is missing; write which motif is placed, as in motif = "ginkgo"`,
			`p.toml:17:1: fixed.panel: it is missing; write which panel it lies on, as in panel = 1`,
			`p.toml:17:1: fixed.down: it is missing; write how far below the waist seam it lies, as in down = "40 cm"`,
			`p.toml:17:1: fixed.around: it is missing; write how far from the panel's left edge it lies, as in around = "52 cm"`,
		}},
		{"of the wrong type", goodSkirt + "hem_girth = false\n" + goodMotif + "[scatter]\nsheets = 0\n[backing]\nshape = \"oval\"\nsize = true\n[[bare]]\npanel = 1\naround = [1]\n", []string{
			`p.toml:5:1: skirt.hem_girth: false is not a length; write it like "2.4 m", or as a bare number in cm`,
			`p.toml:10:1: scatter.sheets: 0 is out of range; write a whole number from 1 to 1000: it is the felt you mean to use up`,
			`p.toml:12:1: backing.shape: "oval" is not known; write "none", "square" or "round"`,
			`p.toml:13:1: backing.size: true is not a length; write "auto" or one like "2 cm"`,
			`p.toml:16:1: bare.around: a list is not a stretch; write where it starts and where it ends, as in [0, 6]`,
		}},
		{"sheets of felt by the length", goodSkirt + goodMotif + "[scatter]\nsheets = 3\n[[sheet]]\nname = \"felt\"\nwidth = 45\nroll = true\n", []string{
			`p.toml:9:1: scatter.sheets: felt "felt" is sold by the length, not by the sheet; write a budget or cutouts instead`,
		}},
		{"a budget for felt without a price", goodSkirt + goodMotif + "[scatter]\nbudget = 3\n[[sheet]]\nname = \"felt\"\nwidth = 45\nheight = 30\n", []string{
			`p.toml:10:1: sheet.price: a budget needs the price of all felt, and "felt" has none; write it for that felt, as in price = 1.10`,
		}},

		// Places.
		{"a byte order mark and CRLF", "\ufeffunit = 3\r\n[skirt]\r\n  cut = \"circle\"\r\n  waist = true\r\n  length = 60\r\n" + goodMotif + goodScatter, []string{
			`p.toml:1:1: unit: 3 is not allowed here; write "mm", "cm" or "in"`,
			`p.toml:4:3: skirt.waist: true is not a length; write it like "68 cm", or as a bare number in cm`,
		}},
		{"inline and dotted tables", "skirt = {cut = \"circle\", waist = 5, length = 60}\nmotif = [{name = \"é\", outline = \"a.svg\", share = -1},\n  {name = \"b\", outline = \"b.svg\", tilt = 999}]\nscatter.spacing = -2\n", []string{
			`p.toml:1:26: skirt.waist: 5 cm is too small: a body measures between 10 cm and 3 m round; no unit is set, so numbers without one are in cm`,
			`p.toml:2:42: motif.share: -1 is out of range; write a number from 0 to 1000: it is a part of the mix, against the other motifs`,
			`p.toml:3:35: motif.tilt: 999 is out of range; write a number from -360 to 360: it is an angle in degrees`,
			`p.toml:4:9: scatter.spacing: -2 cm is negative; write a length above 0`,
		}},
	}
}

func TestBadFiles(t *testing.T) {
	for _, test := range badFiles() {
		t.Run(test.name, func(t *testing.T) {
			_, err := Parse([]byte(test.file), "p.toml", ".")
			wantErrors(t, err, test.want)
		})
	}
}

func wantErrors(t *testing.T, err error, want []string) {
	t.Helper()
	var es Problems
	if !errors.As(err, &es) {
		t.Fatalf("error is %v (%T); want\n%s", err, err, strings.Join(want, "\n"))
	}
	if got := es.Error(); got != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", got, strings.Join(want, "\n"))
	}
}
